"""The person's allergies and the last dose on the bench page: in words and in fields, read back, and refused at their boxes."""

from tests.pages import BOTTLE, post, words

ORDER = "albuterol 2.5 mg by nebulizer, made up to 3 mL, every 4 hours"
FIELDS = {
    "field-drug": "albuterol",
    "field-dose": "2.5 mg",
    "field-route": "by nebulizer",
    "field-frequency": "every 4 hours",
}


def test_an_allergy_in_the_words_is_read_back_and_holds_the_plan() -> None:
    page = post(f"{ORDER}, allergic to benzalkonium and penicillin", [BOTTLE], cup="cup-6")
    said = words(page)
    assert "read as benzalkonium chloride, penicillin" in said
    assert "does not tolerate benzalkonium chloride" in said
    assert "Nothing may be drawn up" in said
    assert "Not checked by the tool: allergy to penicillin." in said


def test_the_fields_of_the_person_hold_allergies_and_the_last_dose() -> None:
    page = post(
        "", [BOTTLE], cup="cup-6", **FIELDS, **{"field-allergies": "EDTA", "field-last_dose": "2026-11-25 10:00"}
    )
    assert 'name="field-allergies" value="EDTA"' in page
    assert 'name="field-last_dose" value="2026-11-25 10:00"' in page
    said = words(page)
    assert "Ready to draw up" in said
    assert "The last dose was given 25 Nov 2026 10:00; when preparing begins was not said" in said


def test_what_is_no_allergy_and_no_moment_is_refused_at_its_own_box() -> None:
    page = post("", [BOTTLE], cup="cup-6", **FIELDS, **{"field-allergies": "2.5 mg", "field-last_dose": "ten"})
    assert 'href="#field-allergies"' in page
    assert 'href="#field-last_dose"' in page


def test_a_dose_outside_everything_published_is_a_stop_with_its_way_out() -> None:
    said = words(post("albuterol 25 mg by nebulizer, 40 years old", cup="cup-6"))
    assert "Nothing may be drawn up" in said
    assert "25 mg is 10 times 2.5 mg." in said
    assert "Ask the prescriber; only a changed order goes on." in said
