"""An order and a table small enough to see through, in place of items of the course."""

from cubital.items import Before, Column, OrderItem, Row, Step, TableItem

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
