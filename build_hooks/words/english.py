"""The English that the rules know: verbs that give an order, and small words that tell how a sentence is built.

Common English, from memory. A word that stands in none of these lists is taken for good: a rule must be quiet where it
does not know.
"""

from __future__ import annotations

from typing import Final

__all__ = [
    "ADJECTIVES", "BE_FORMS", "DETERMINERS", "FINITE", "NOUN_ENDINGS", "NUMBER_WORDS", "PARTICIPLES", "PLAIN_VERBS", "POINTERS",
    "PREPOSITIONS", "PRONOUNS", "SMALL_WORDS", "SUBORDINATORS", "UNITS", "VERBS", "VERBS_OR_NOUNS", "is_participle", "singular", "word_set",
]  # fmt: skip


def word_set(text: str) -> frozenset[str]:
    """The words of a text, separated by spaces."""
    return frozenset(text.split())


# Verbs that are hardly ever anything else in a workshop.
PLAIN_VERBS: Final = word_set("""
    acknowledge add adjust admit advance align allow apply arrange ascertain ask assemble attach avoid become begin bleed blow bring
    calculate carry choose collect come compare compress compute confirm connect consult continue convert deburr decide deflate
    degrease depress detach determine disassemble disconnect discard dismantle dispose divide do eject enclose engage ensure enter examine
    expand extend extract fasten fetch flatten flip follow get give go grind hang identify inflate inform insert inspect install
    isolate keep lay learn let listen locate loosen lubricate maintain make measure meet mend obtain observe operate peel pour prepare
    prevent proceed protect prove provide pry put reassemble receive recheck reduce refer refill refit reinstall relieve remember
    remount remove renew repeat replace rinse retain retorque rotate save say see select send shine shut sit slacken squeeze straighten strike
    submerge subtract take tell throw tighten trim try undo unbolt unclip unhook unload unlock unplug unscrew unwind verify wear weigh
    wipe write
""")

# Verbs that also name a thing or a quality: what stands behind them tells which it is.
VERBS_OR_NOUNS: Final = word_set("""
    act adapt aim back bag balance bank bend bolt bond bore brace break brush build bump burn call cap catch centre center chain chamfer
    change charge chase check chock clamp clean clear click clip close coat complete cool copy correct count cover crank crush
    cure cut date dial dip draft drag drain draw dress drift drill drive drop dry dust ease empty end face feed feel file fill find
    finish fit fix flare float flush foam fold form free gap gauge glue grease grip group guide hammer hand handle head heat help hinge
    hoist hold hone hook idle jack jam join kick label land lap lead lean leave level lever lift light line link list load lock
    look lower lug mark mask mate match mill mind mix mount move name nick note notch number nudge offer oil open order orient
    paint pair park pass patch pause photograph pick pin pinch place plan plug point polish position practise practice press print pull pump punch
    push quote race rack raise rank rate reach read ready rebuild record release repair report rest return ring rivet rock roll
    rub run sample sand scan score scrape screen screw scribe seal search seat secure separate service set shake shape share shift
    shim shop show sign sketch skip slide slip slot smear smell snap soak sort sound space spin split spot spray spread spring stack stamp stand
    start state stay steady step stick stir stop store strap strip stroke study support swab swap sweep swing switch tag tap taper
    tell test thread tick tie tilt time tip top torque touch trace track transfer treat trust turn twist type use vent view wait
    walk warm wash watch water wave wedge weld wet wind wire work wrap zero
""")
VERBS: Final = PLAIN_VERBS | VERBS_OR_NOUNS

DETERMINERS: Final = word_set("""
    the a an this that these those each every all both no none any some its their your his her our my either neither another
    half one two three four five six seven eight nine ten eleven twelve
""")
PRONOUNS: Final = word_set("i you we they he she it there somebody someone everybody everyone nobody anybody anyone nothing")
# What an order may take straight behind it, and a noun may not.
POINTERS: Final = DETERMINERS | word_set("it them him her yourself itself")
PREPOSITIONS: Final = word_set("""
    about above across after against along among around as at before behind below beneath beside between beyond by down during for
    from in inside into like near of off on onto opposite out outside over past round since through throughout to toward towards
    under until up upon with within without away back apart aside again
""")
SUBORDINATORS: Final = word_set("""
    after although as because before how if once since so than that though unless until what when whenever where wherever whether
    which while who whose why till
""")
# A verb of the third person or a helper: what stands before it is a subject, not an order.
FINITE: Final = word_set(
    "is are was were has have had must should shall will would can could may might does did isn't aren't can't"
)
BE_FORMS: Final = word_set("is are was were be been being isn't aren't")
NUMBER_WORDS: Final = word_set("""
    zero two three four five six seven eight nine ten eleven twelve twenty thirty forty fifty half quarter once twice none nowhere
""")
NOUN_ENDINGS: Final = ("ing", "tion", "sion", "ment", "ness", "ity", "ance", "ence", "ship")
SMALL_WORDS: Final = DETERMINERS | PRONOUNS | PREPOSITIONS | SUBORDINATORS | FINITE | BE_FORMS | NUMBER_WORDS | word_set("""
    and or but nor not then also only just still yet too very even ever never always them him us me who whom whose it's self else
    do does don't done here now such much many more most less least few fewer several own same other enough
""")  # fmt: skip

# Qualities, places and turns that need no explanation before the name of a part.
ADJECTIVES: Final = word_set("""
    able accurate adjacent aluminium aluminum bad bare bent best better big black blank blue blunt brass broken bronze brown
    careful centre central cheap chosen clean clear close coarse cold common complete cool copper correct current cut damaged dark
    dead deep different dirty double dry dull early empty end entire equal even exact external extra false far fast fine firm first
    flat foreign free fresh front full general gentle good great green grey gray hand hard heavy high higher hot hour identical
    important inch inner inside intact internal iron known large larger last late left light likely little live local long longer
    loose low lower lowest main major matching mean metal metric mid middle minor missing mistaken model narrow near nearest neat
    needed new next nominal normal odd old open opposite ordinary original other outer outside own paper perfect plain plastic
    possible present previous proper proud quick quiet raw ready real rear red remaining right rigid rough round rubber sacrificial
    safe same second selective separate severe shaky sharp shiny short shut side silent silver similar simple single slack slight
    slow small smaller smooth soft solid sound spare special split square stable standard steady steel sticky stiff still straight
    strong stuck sure suspect tall tapered test thick thicker thin thinner third tight tiny top total trial triple true typical
    uneven unknown unworn upper upright used usual various vertical warm waxed weak wet white whole wide wood wooden worn worst
    wrong yellow young fourth fifth sixth left-hand right-hand half-open once-only look-alike sharp-edged lint-free cross bench shop
    bottom base bay customer training
""")  # fmt: skip

UNITS: Final = word_set("""
    mm cm m um µm in inch inches thou ft psi bar kpa mpa pa s sec min h hour hours minutes seconds minute second n nm n.m lbf lb ft.lb
    lbf.ft lbf.in kg g l ml deg degree degrees °c °f c k rpm v a w hz km mph percent
""")

PARTICIPLES: Final = word_set("""
    begun bent bled blown bought bound broken brought built burst caught chosen cut done drawn driven fallen fed felt forced found
    frozen given ground held hidden hit hung kept known laid led left lent let lit lost made meant met paid put read ridden run said
    seen sent set shaken shown shut slid sought spun split spread struck stuck sunk swept swung taken thrown told torn undone unwound
    worn wound written wrung
""")
_NOT_PARTICIPLES: Final = word_set("""
    need seed speed feed weed bed red shed sled indeed proceed exceed bleed breed hundred embed shred sacred naked wicked rugged
    jagged ragged aged crooked
""")


def is_participle(word: str) -> bool:
    """Whether a word is the form of a verb that follows ``is`` in the passive."""
    return word in PARTICIPLES or (word.endswith("ed") and len(word) > 4 and word not in _NOT_PARTICIPLES)  # noqa: PLR2004 - shorter ones are nouns: seed


def singular(word: str) -> str:
    """A noun without the ending of its plural."""
    if word.endswith(("sses", "shes", "ches", "xes")):
        return word[:-2]
    return word[:-1] if word.endswith("s") and not word.endswith(("ss", "us", "is")) else word
