"""The words of a medium, in English and German: what each is to the kind of work, and which technique or process it is."""

from typing import Final, NamedTuple


class Term(NamedTuple):
    """What a word or phrase is: its role in the text, and the technique or process it names (nothing where the facts have none)."""

    role: str
    value: str = ""


# A line for each role and value, then its phrases; a line that is set in goes on. The roles: how it was made (drawn; dusty: drawn with
# what may shed powder; painted, printed, photo, unclear: by some printer, copied, moving, woven, carved), what it is made on (sheet, card,
# stretched, rigid, board, cloth, pane, base), what prints (matrix), and what else a work may be of (bulk).
_TABLE: Final = """
drawn watercolour: watercolour | watercolor | watercolours | aquarell | aquarellfarbe
drawn gouache: gouache | bodycolour | body colour | deckfarbe
drawn ink: ink | ink wash | pen and ink | brush and ink | pen | indian ink | india ink | tusche | tinte | feder |
    tuschfeder
drawn felt-pen: felt-tip pen | felt pen | felt tip | felt-tip | marker | marker pen | filzstift
drawn graphite: graphite | pencil | graphit | bleistift | lead pencil
drawn coloured-pencil: coloured pencil | colored pencil | coloured pencils | colored pencils | crayon pencil |
    buntstift | farbstift
dusty pastel: pastel | pastels | soft pastel | pastell | pastellkreide
dusty charcoal: charcoal | kohle | zeichenkohle
dusty other: chalk | kreide | black chalk | red chalk | white chalk | rötel
drawn other: crayon | wax crayon | conté crayon | conté | oil pastel | ölpastell | ölkreide | wachskreide | wax | gum
    | drawing | drawings | zeichnung | collage | typed text | silverpoint
painted acrylic: acrylic | acrylic paint | acrylics | acryl | acrylfarbe
painted oil: oil | oil paint | oils | oil colour | öl | ölfarbe | oel
painted thick-oil: impasto | impasto oil | thick oil
painted tempera: tempera | egg tempera | eitempera | kaseintempera
painted mixed: mixed media | mischtechnik | mixed technique
painted other: household paint | enamel paint | enamel | spray paint | alkyd | emulsion paint | lack | sprühfarbe |
    lackfarbe | casein | encaustic | enkaustik | paint | polyvinyl acetate paint | painting | gemälde | malerei |
    silkscreen ink | vinyl paint | resin paint
printed woodcut: woodcut | woodblock | woodblock print | wood block print | woodcuts | holzschnitt | farbholzschnitt
printed linocut: linocut | lino print | linocut print | lino cut | linolschnitt
printed wood-engraving: wood engraving | wood engravings | holzstich
printed engraving: engraving | line engraving | copper engraving | steel engraving | stipple engraving | kupferstich |
    stahlstich | engravings
printed etching: etching | etchings | aquatint | aquatints | acquatint | drypoint | drypoints | dry point | mezzotint
    | mezzotints | soft-ground etching | radierung | radierungen | kaltnadel | kaltnadelradierung | aquatinta |
    mezzotinto | schabkunst | ätzradierung | photo-etching
printed lithograph: lithograph | lithographs | lithography | lithografie | lithographie | farblithografie | stone
    lithograph
printed screenprint: screenprint | screenprints | screen print | silkscreen | silkscreen print | silk screen |
    serigraph | serigraphy | siebdruck | serigrafie
printed monotype: monotype | monotypes | monoprint | monoprints | monotypie
printed other: relief print | intaglio print | intaglio | pochoir | collagraph | photogravure | heliogravure | roneo
    print | blind embossed print | embossed print | letterpress | plaster print | block print | risograph | hochdruck
    | tiefdruck | prägedruck | original print | originalgrafik | druckgrafik | stencil print
photo gelatin-silver: gelatin silver print | gelatine silver print | silver gelatin print | gelatin silver | gelatine
    silver | silver print | silbergelatineabzug | silbergelatine | bromide print | gelatin silver prints
photo chromogenic: chromogenic print | c-print | c print | c-type print | c-type | lambda print | chromogenic prints |
    lambda c-print
photo dye-transfer: dye transfer print | dye transfer
photo albumen: albumen print | albumen | albuminabzug
photo platinum: platinum print | platinum-palladium print | platindruck
photo cyanotype: cyanotype | cyanotypie
photo instant-photograph: polaroid | instant photograph | sofortbild | polaroids
photo other: cibachrome print | cibachrome | ilfochrome | daguerreotype | photogram | tintype | photographic negative
photo: photograph | photographs | photo | photos | photographic print | fotografie | fotografien | foto | fotos |
    photography | fotoabzug | photographic
unclear: canvas print | leinwanddruck
unclear inkjet: inkjet print | inkjet | pigment print | archival pigment print | giclée | giclee | giclée print |
    giclee print | tintenstrahldruck | pigmentdruck | archival inkjet print | fine art print | ink jet print |
    fine-art-print
unclear laser-print: laser print | laserdruck | photocopy | xerox
unclear offset: offset print | offset lithograph | offset lithography | offsetdruck
unclear: digital print | print | prints | colour print | color print | druck | digitaldruck | blueprint | digital c
    print | postcard | postcards | cards
copied: reproduction | reproductions | poster | posters | facsimile | art print | reproduktion | kunstdruck | plakat |
    faksimile | art poster
moving: film | video | audio | projection | monitor | monitors | slide projection | slides | software | wall text |
    wall texts | performance | sound | lightbox | neon | ton | projektion
woven: tapestry | embroidery | quilt | weaving | woven | sequins | wandteppich | stickerei | gobelin | patchwork |
    carpet | teppich | batik | knitted | hand-woven
carved sculpture: sculpture | sculptures | skulptur | plastik | bust | statue | statuette
carved relief: relief | reliefs | wall relief
matrix: plate | copper plate | zinc plate | steel plate | printing block | printing plate | druckplatte | druckstock
sheet: paper | papers | papier | bütten | büttenpapier | japanpapier | vellum | parchment | pergament | rag paper |
    handmade paper | wove paper | laid paper | printed paper | tracing paper | cotton paper | japan paper | hahnemühle
    | printed papers | newspaper | wallpaper | cotton rag
card: illustration board | card | cardboard | karton | pappe | printed card | paperboard | bristol board
stretched: canvas | canvases | linen | leinwand | leinen | nessel | cotton duck | cotton canvas | linen canvas |
    lw | lwd | keilrahmen | leinwand auf keilrahmen |
    stretched canvas | raw canvas | jute | burlap
rigid: slate | panel | panels | hardboard | wood panel | plywood | mdf | masonite | wooden panel | hartfaser |
    hartfaserplatte | holz | holztafel | sperrholz | millboard | mahogany | oak | poplar | walnut | pine | lime |
    cedar | veneer | mahogany veneer | mahogany panel | oak panel | wood | woodblock panel | painted woodblock |
    copper | aluminium | aluminum | dibond | alu-dibond | aluminium dibond | zinc | tin | fibreboard | chipboard |
    spanplatte | formica | gesso panel | cradled panel
board: board | boards | artist board | artist's board | malkarton | malplatte | canvas board
cloth: fabric | cloth | silk | cotton | wool | felt | velvet | satin | muslin | polyester | nylon | textile | stoff |
    seide | baumwolle | filz | calico | hessian
pane: glass | perspex | acrylic glass | plexiglas | plexiglass | acrylglas | glas | mirror | mirror glass | plastic |
    acrylic sheet
base: base | plinth | sockel | pedestal | marble base | wooden base | stand | stone base
bulk: steel | stainless steel | iron | bronze | brass | lead | metal | silver | gold | wire | copper wire | stone |
    marble | granite | alabaster | limestone | sandstone | concrete | plaster | clay | ceramic | porcelain |
    terracotta | stoneware | earthenware | fibreglass | resin | rubber | foam | polystyrene | leather | rope | ropes |
    string | strings | thread | threads | cork | sand | wax cast | chair | table | cabinet | box | wooden box | case |
    wooden case | camera | lights | light bulb | fluorescent tube | tubes | motor | electric motor | linoleum |
    melamine | shells | sea shells | feathers | bone | food | cast material | frames | wooden frames | meccano |
    magnet | tights | bricks | breeze blocks | soil | stones | capsules | booklets | papier-mâché | clothing | vinyl |
    stahl | eisen | bronzeguss | gips | ton gebrannt | keramik | stein | marmor | beton | messing | blei | metall |
    kunststoff | gummi | caen stone | portland stone | mixed materials | found objects | painted wood | painted steel
    | painted plaster | cotton threads | nylon tights | foil | smoke machine | silicone rubber | fat | beeswax |
    carbon fibre | tarpaulin | zwirn | draht
"""
ON: Final = frozenset(("on", "onto", "upon", "auf"))
MOUNTED: Final = frozenset(("mounted", "laid", "aufgezogen", "kaschiert", "montiert"))
VERSO: Final = frozenset(("verso", "rückseite", "reverse"))
MORE: Final = frozenset(("with", "in", "mit"))
MOST_WORDS: Final = 4  # of a phrase


def _terms() -> dict[str, Term]:
    made: dict[str, Term] = {}
    for line in _TABLE.replace("\n    ", " ").strip().splitlines():
        head, _, phrases = line.partition(":")
        role, _, value = head.partition(" ")
        made |= dict.fromkeys((phrase.strip() for phrase in phrases.split("|")), Term(role, value))
    return made


TERMS: Final = _terms()
