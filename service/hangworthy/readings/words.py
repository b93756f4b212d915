"""The words of a line of dimensions, in English and German (a few in French): which way is meant, what was measured, how well."""

from typing import Final


def _grouped(table: str) -> dict[str, str]:
    """Return each word with the name before the colon of its line; a line that is set in goes on."""
    lines = [line.partition(":") for line in table.replace("\n    ", " ").strip().splitlines()]
    return {word: name for name, _, words in lines for word in words.split()}


def _all(words: str) -> frozenset[str]:
    return frozenset(words.split())


# Which way: h height, w width, d depth, l length, o across (diameter).
AXES: Final = _grouped("""
h: h height high tall hoch höhe hoehe hauteur ht
w: w width wide b breit breite largeur wd
d: d depth deep t tief tiefe p profondeur thick
l: l length long lang länge laenge
o: dia diam diameter ø durchmesser dm ⌀
""")
# One letter is an axis only beside a number; "b" and "t" are German.
LETTERS: Final = frozenset("hwdblt")

# What was measured. “panel” and “canvas” are supports, unless “upper” or “left” makes them a part.
ROLES: Final = _grouped("""
image: image bild motiv picture bildmaß darstellung
sheet: sheet paper blatt papier blattmaß papierformat
support: support canvas leinwand stretcher keilrahmen bildträger panel tafel board
object: object objekt work werk artwork sculpture skulptur
plate: plate platte plattenrand platemark block stone
frame: frame framed rahmen gerahmt rahmenmaß framing
mount: mount mounted mat matt matted passepartout
window: window ausschnitt aperture opening
overall: overall total gesamt gesamtmaß insgesamt all installation installed
displayed: displayed display hung
unconfirmed: unconfirmed unbestätigt
part: upper lower left right centre center middle top bottom part parts teil teile pieces piece wing secondary detail
other: base plinth sockel case box crate kiste vitrine tube album book lid closed folded rolled packed package
    verpackt
""")
UNFRAMED: Final = _all("unframed ungerahmt")
WITHOUT: Final = _all("excl excluding exkl no not ohne w/o without")
WITH: Final = _all("incl including inkl inklusive mit with")
EACH: Final = _all("apiece each every je jeweils")
ROUGH: Final = _all("about approx approximately around c ca circa etwa roughly rund variabel variable")
DIVIDES: Final = _all("& and plus und")
EITHER: Final = _all("oder or")
# Which way the longer side goes.
SHAPES: Final = _grouped("""
portrait: portrait hochformat hochkant hoch upright vertical
landscape: landscape querformat quer horizontal
square: square quadratisch
""")
THINGS: Final = _all("""
blätter canvases elements monitors objects panels parts photographs pieces prints screens sheets stück tafeln teile
videos works
""")
# Words that say nothing about what was measured.
EMPTY: Final = _all("""
a abmessungen actual an approximate area auf das der die dimension dimensions format größe im in incl including inkl
inklusive is its masse maß maße measurements measures measuring mit of only side sight size sizes the to von with x
""")
DURATION: Final = _all("dauer duration hours min mins minuten minutes running sec seconds secs sekunden")
