"""The usual cautions, worded once. They inform; makers' ratings, local codes and licensed practice decide."""

CAUTION_BARS = "A stretcher under tension can spring; a large one takes two people to turn. Leave repair to a framer or conservator."
CAUTION_WEIGHT = "Weights and fixings can hurt people. Follow the maker's ratings and local codes; ask a licensed fixer when in doubt."
CAUTION_MOULD = "Water stains can hide mould. Isolate the work, wear gloves and a mask, and ask a conservator before you touch it."
CAUTION_GLASS = "Broken or unsafe glass cuts. Keep people away, wear gloves and follow local codes for glass above people."
CAUTION_LAW = "This informs and is no legal advice. Local law decides; ask a lawyer or a tax adviser where it matters."
