"""Step by step in a real browser: real keys, forks, the way back, the timer, a reload."""

import pytest

BY_HAND = [
    # Read off protocols/airborne-room.md by hand: putting on with goggles.
    "Get ready.",
    "Go to the transition bay.",
    "Clean your hands.",
    "Put on the coverall.",
    "Put on the apron.",
    "Put on the respirator.",
    "Check the seal.",
    "Clean your hands.",
    "Choose your eye protection.",
    "Put on the goggles.",
    "Put on gloves.",
    "Check in the mirror.",
    "Go in.",
    "Keep your hands low.",
    "Leave the room.",
    "Wipe the apron.",
]


def test_keys_lead_along_the_way_and_back(visit):
    seen = visit()
    seen.page.keyboard.press("Tab")
    seen.shown(".start").focus()
    seen.press("Enter")
    there = [seen.lead]
    for _ in BY_HAND[1:]:
        at_fork = seen.shown(".choice").is_visible()
        seen.press("1" if at_fork else "ArrowRight")
        there.append(seen.lead)
    assert there == BY_HAND
    back = [seen.lead]
    for _ in BY_HAND[1:]:
        seen.press("ArrowLeft")
        back.append(seen.lead)
    assert back == BY_HAND[::-1]
    assert seen.shown(".back").is_disabled()


def test_from_right_to_left_the_arrows_turn(visit):
    seen = visit(place="ar/0")
    first = seen.lead
    seen.press("ArrowLeft")
    assert seen.lead != first
    seen.press("ArrowRight")
    assert seen.lead == first
    ahead, behind = (seen.shown(f".{name}").bounding_box()["x"] for name in ("next", "back"))
    assert ahead < behind


def test_a_fork_waits_for_its_answer(visit):
    seen = visit(place="en/8")
    assert seen.lead == "Choose your eye protection."
    seen.press("ArrowRight", "Enter", "Space", "7")
    assert seen.place == "en/8"
    assert not seen.shown(".next").is_visible()
    seen.page.get_by_role("button", name="Face shield.").click()
    assert seen.lead == "Put on the face shield."
    assert seen.shown(".card .chosen").inner_text() == "Face shield."
    seen.press("Enter")
    assert seen.lead == "Put on gloves."
    seen.press("ArrowLeft", "ArrowLeft")
    assert (
        seen.page.get_by_role("button", name="Face shield.").get_attribute("aria-pressed")
        == "true"
    )
    seen.press("1")
    assert seen.lead == "Put on the goggles."


def test_the_answer_given_before_is_marked_where_the_question_comes_again(visit):
    """Forks of the example in order: eye protection, coverall state, eye protection again."""
    seen = visit()
    forks = seen.page.locator(".here .list .stop").evaluate_all(
        "all => all.flatMap((n, i) => n.matches('.fork') ? [i] : [])"
    )
    seen = visit(place=f"en/{forks[1]}/8.1")
    assert seen.lead == "Look at the coverall."
    assert seen.page.locator(".here .earlier").count() == 0
    seen.press("1", "Enter", "Enter", "Enter")
    assert seen.lead == "Take off the eye protection."
    marked = seen.page.locator(".here .choice", has=seen.page.locator(".earlier"))
    assert [each.locator(".lead").inner_text() for each in marked.all()] == ["Face shield."]


def test_a_reload_and_a_change_of_language_keep_the_place(visit):
    seen = visit(place="en/8")
    seen.press("1")
    seen.page.reload()
    assert seen.lead == "Put on the goggles."
    seen.page.locator(".languages summary").click()
    seen.page.locator(".languages a[lang=es]").click()
    seen.settle()
    assert seen.place == "es/9/8.0"
    assert seen.page.locator("html").get_attribute("lang") == "es"
    assert seen.lead == "Póngase las gafas de protección."
    seen.go_back()
    assert seen.lead == "Put on the goggles."


def test_escape_leads_to_the_step_in_the_list(visit):
    seen = visit(place="en/5")
    seen.press("Escape")
    assert seen.shown(".list").is_visible()
    focused = seen.page.evaluate("document.activeElement.querySelector('.lead').textContent")
    assert focused == "Put on the respirator."
    seen.go_back()
    assert seen.lead == "Put on the respirator."


@pytest.mark.parametrize(
    "place", ["en/999", "en/9/8.1", "en/9", "xx/3", "en/-1/..", "%E0%A4%A", "en//8.7"]
)
def test_an_address_that_makes_no_sense_does_no_harm(visit, place):
    seen = visit(place=place)
    assert seen.shown("h1").is_visible()
    assert seen.shown(".list").is_visible() or seen.lead


def test_where_am_i_is_always_told(visit):
    seen = visit(place="en/3")
    assert seen.shown(".where").inner_text() == "Putting on"
    assert seen.shown(".progress").inner_text() == "3 of 12"
    assert "transition bay" in seen.shown(".card .area").inner_text()
    assert "transition" in seen.shown(".card").get_attribute("class")
    assert seen.shown(".coming").inner_text() == "Next: Put on the apron."
    assert seen.shown("h1").inner_text() == "Airborne isolation room"
    assert seen.shown(".notices").is_visible()
    assert seen.shown(".foot .duty").inner_text().startswith("Follow your facility")
    assert not seen.page.locator(".here .card .area.door").count()
    seen.press("ArrowLeft")
    assert seen.page.locator(".here .card .area.door").count() == 1


def test_cautions_and_focus_come_with_the_step(visit):
    seen = visit(place="en/1")
    caution = seen.shown(".card .caution")
    assert "Do not dress here while somebody is taking off." in caution.inner_text()
    assert caution.locator(".unseen").inner_text() == "Caution:"
    for _ in range(3):
        seen.press("ArrowRight")
        assert seen.page.evaluate("document.activeElement.className").startswith("card")
    assert seen.page.evaluate("scrollY") == 0


def test_the_end_says_so_and_a_new_round_forgets_the_answers(visit):
    seen = visit("nested", "en/0")
    keys = 0
    while not seen.place.endswith("end") and "/end" not in seen.place:
        seen.press("2" if seen.shown(".choice").is_visible() else "Enter")
        keys += 1
        assert keys < 20
    assert seen.lead == "All steps done"
    assert seen.complaints() == []
    seen.shown(".again").click()
    assert seen.place == "en/0"


def test_forks_in_forks_lead_on_to_the_same_step(visit):
    for answers, way in {
        ("1", "1"): ["Which?", "And which?", "Step 0.", "Clean your hands.", "Go in."],
        ("1", "2"): ["Which?", "And which?", "Step 1.", "Clean your hands.", "Go in."],
        ("2",): ["Which?", "Go in."],
    }.items():
        seen, given, there = visit("nested", "en/1"), list(answers), []
        while not there or there[-1] != "Go in.":
            there.append(seen.lead)
            seen.press(given.pop(0) if seen.shown(".choice").is_visible() else "Enter")
        assert there == way


# --- hand hygiene


def timed(visit, **wishes):
    """A band of hand hygiene, with a clock that only the test moves."""
    seen = visit(place="en/1", alone=True, **wishes)
    seen.page.clock.install()
    seen.press("ArrowRight")
    assert seen.lead == "Clean your hands."
    return seen


def test_the_timer_counts_the_clinics_own_seconds(visit):
    """protocols/clinic.yaml: rub 20 to 30 s."""
    seen = timed(visit, reduced_motion="reduce")
    left, phase, told = (seen.shown(f".{name}") for name in ("left", "phase", "told"))
    assert left.inner_text() == "20–30 s"
    seen.shown(".run").click()
    assert (left.inner_text(), phase.inner_text()) == ("20 s", "Keep going")
    assert told.inner_text() == "Keep going 20 s"
    seen.page.clock.run_for(19_000)
    assert (left.inner_text(), phase.inner_text()) == ("1 s", "Keep going")
    seen.page.clock.run_for(1_000)
    assert (left.inner_text(), phase.inner_text()) == ("10 s", "Least time reached")
    assert told.inner_text() == "Least time reached 10 s"
    seen.page.clock.run_for(10_000)
    assert (left.inner_text(), phase.inner_text()) == ("0 s", "Full time reached")
    assert told.get_attribute("role") == "status"
    assert seen.complaints() == []


def test_the_space_bar_starts_it_and_does_not_cut_it_short(visit):
    seen = timed(visit)
    seen.press("Space")
    assert seen.shown(".phase").inner_text() == "Keep going"
    seen.page.clock.run_for(5_000)
    seen.press("Space")
    assert seen.lead == "Clean your hands."
    seen.page.clock.run_for(15_000)
    seen.press("Space")
    assert seen.lead == "Put on the coverall."
    assert not seen.shown(".timer").is_visible()


def test_soap_and_water_take_their_own_time(visit):
    """protocols/clinic.yaml: wash 40 to 60 s."""
    seen = visit("spore-contact-room", "en/0")
    times = seen.page.locator(".here .list .beat").evaluate_all(
        "all => all.map(n => [n.dataset.least, n.dataset.most])"
    )
    assert ["40", "60"] in times


# --- for those who listen


@pytest.mark.parametrize("place", ["en/1", "en/2", "en/8", "ar/1", "ar/2", "ar/8", "hi/8"])
def test_the_checker_finds_nothing_on_the_way(visit, place):
    """A step with a caution, a band of hand hygiene, and a fork."""
    assert visit(place=place).complaints() == []


def test_a_screen_reader_hears_place_lead_and_detail(visit):
    """The name that Chromium computes for the card (Accessible Name and Description 1.2)."""
    seen = visit(place="en/3")
    name = "3 of 12 Put on the coverall. Sit down and step in. Close the zip to your chin."
    assert seen.page.get_by_role("group", name=name, exact=True).count() == 1
    images = seen.page.locator(".here .card svg")
    assert all(
        images.nth(i).get_attribute("aria-hidden") == "true" for i in range(images.count())
    )
