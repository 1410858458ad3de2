"""An order, a table and a case small enough to see through, in place of items of the course."""

from cubital.items import Before, Column, Option, OrderItem, Row, Step, TableItem
from cubital.items.cases.case import Case, item_of

WASH = OrderItem(
    id="stand-in-wash",
    title="Hands",
    points=2,
    section="Hands",
    draw_values=lambda draw: {"shown": draw.shuffled(("wet", "soap", "dry"))},
    ask=lambda _v: "Put washing your hands in order.",
    steps=lambda _v: (Step("wet", "Wet"), Step("soap", "Soap"), Step("dry", "Dry")),
    rules=(
        Before("wet-late", "wet", "soap", "takes soap on dry hands"),
        Before("dry-early", "soap", "dry", "dries before the soap"),
    ),
)
SIGNS = TableItem(
    id="stand-in-signs",
    title="Warm or cold",
    points=2,
    section="Signs",
    draw_values=lambda _draw: {},
    ask=lambda _v: "Warm or cold?",
    columns=lambda _v: (Column("warm", "warm"), Column("cold", "cold")),
    rows=lambda _v: (
        Row("fire", "Fire", "warm", {"cold": "never sat by one"}),
        Row("ice", "Ice", "cold", {"warm": "never held any"}),
    ),
)
UMBRELLA = item_of(
    Case(
        key="stand-in-umbrella",
        title="Rain or wind",
        section="Weather",
        story="It rains, and it blows. An umbrella keeps you dry, and a gust breaks it.",
        ways=(
            Option("umbrella", "Take the umbrella.", "lets the wind have it"),
            Option("coat", "Take the coat."),
            Option("stay", "Stay at home.", "gives up the walk"),
            Option("run", "Run.", "gets wet all the same"),
        ),
        reasons=(
            Option("wind", "The wind."),
            Option("rain", "The rain.", "is true of the umbrella too"),
            Option("looks", "The looks.", "keeps nobody dry"),
            Option("price", "The price.", "was paid already"),
        ),
        because="A coat stays whole in the wind; the price is a wet face.",
    )
)
