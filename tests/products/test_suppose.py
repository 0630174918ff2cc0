"""What stays of a fork that is printed as already resolved; common practice, no source."""

from compiler.model.suppose import supposed
from tests.printing.posters import small

BODY = """
# Off `doffing in bay`

1. **Look at the gown.** `decide gown state`
   > Do not touch the front.
   - **Torn.** `if torn`
     1. **Throw it away.** `remove gown` `discard gown`
   - **Whole.** Hold it by the ties. `if whole`
   - **Not worn.** `if none`
2. **Clean your hands.** `handrub`
"""


def shown(answer):
    steps = supposed(small(BODY).protocol, {"gown state": answer}).parts[0].steps
    return [(step.lead, step.detail, step.cautions) for step in steps]


def test_cautions_and_advice_outlive_the_question():
    caution = ("Do not touch the front.",)
    hands = ("Clean your hands.", "", ())
    assert shown("torn") == [("Throw it away.", "", caution), hands]
    assert shown("whole") == [("Whole.", "Hold it by the ties.", caution), hands]
    assert shown("none") == [("Not worn.", "", caution), hands]
    assert shown("another")[0] == ("Look at the gown.", "", caution)
