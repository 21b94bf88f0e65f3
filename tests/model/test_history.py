from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from siteplan.model.document import Document
from siteplan.model.history import History
from siteplan.model.project import Project
from tests.model.sample_sites import courtyard

START = courtyard()


def titled(title: str) -> Document:
    return replace(START, project=Project(title=title))


def history_of(*titles: str) -> History:
    history = History(START, saved=START)
    for title in titles:
        history.commit(f"name it {title}", titled(title))
    return history


def undone(history: History) -> History:
    while history.past:
        history.undo()
    return history


def redone(history: History) -> History:
    while history.future:
        history.redo()
    return history


def test_commit_of_the_very_same_document_is_no_step() -> None:
    history = history_of()

    history.commit("nothing", START)

    assert history.past == ()


def test_undo_gives_back_the_very_document() -> None:
    history = history_of("one")

    history.undo()

    assert history.present is START


def test_redo_brings_the_step_back() -> None:
    history = history_of("one", "two")

    history.undo()
    history.redo()

    assert history.present == titled("two")


def test_labels_name_the_steps_to_undo_and_redo() -> None:
    history = history_of("one", "two")

    history.undo()

    assert (history.undo_label, history.redo_label) == ("name it one", "name it two")


def test_labels_are_empty_when_there_is_nothing_to_do() -> None:
    assert (history_of().undo_label, history_of().redo_label) == ("", "")


def test_undo_without_a_past_changes_nothing() -> None:
    history = history_of()

    history.undo()
    history.redo()

    assert history.present is START


def test_a_new_step_forgets_what_was_undone() -> None:
    history = history_of("one")
    history.undo()

    history.commit("other", titled("two"))

    assert history.future == ()


def test_one_drag_is_one_step() -> None:
    history, drag = history_of(), object()
    history.commit("drag", titled("a"), drag)
    history.commit("drag", titled("b"), drag)

    history.undo()

    assert (history.present is START, history.redo_label) == (True, "drag")


def test_two_drags_are_two_steps() -> None:
    history = history_of()
    history.commit("drag", titled("a"), object())
    history.commit("drag", titled("b"), object())

    assert len(history.past) == 2


def test_a_drag_that_goes_on_after_an_undo_is_a_new_step() -> None:
    history, drag = history_of("one"), object()
    history.commit("drag", titled("a"), drag)
    history.undo()

    history.commit("drag", titled("b"), drag)

    assert [step.document for step in history.past] == [START, titled("one")]


def test_revert_drag_puts_back_the_start_and_the_steps_to_redo() -> None:
    history, drag = history_of("one"), object()
    history.undo()
    history.commit("drag", titled("a"), drag)

    history.revert_drag(drag)

    assert (history.present is START, history.past, history.redo_label) == (True, (), "name it one")


def test_revert_of_another_drag_changes_nothing() -> None:
    history = history_of()
    history.commit("drag", titled("a"), object())

    history.revert_drag(object())

    assert history.present == titled("a")


def test_a_drag_back_to_its_start_is_no_step() -> None:
    history, drag = history_of(), object()
    history.commit("drag", titled("a"), drag)

    history.commit("drag", START, drag)

    assert (history.past, history.present is START) == ((), True)


def test_only_the_latest_steps_are_kept() -> None:
    history = History(START, most_steps=2)
    history.commit("first", titled("a"))
    history.commit("second", titled("b"))

    history.commit("third", titled("c"))

    assert [step.label for step in history.past] == ["second", "third"]


def test_a_fresh_document_out_of_a_file_is_not_changed() -> None:
    assert not history_of().is_changed


def test_a_document_in_no_file_is_changed() -> None:
    assert History(START).is_changed


def test_undo_back_to_the_saved_document_is_not_changed() -> None:
    history = history_of("one", "two")
    history.mark_saved()
    history.undo()

    history.redo()

    assert not history.is_changed


def test_undo_behind_the_saved_document_is_changed() -> None:
    history = history_of("one")
    history.mark_saved()

    history.undo()

    assert history.is_changed


@given(st.lists(st.tuples(st.text(max_size=3), st.sampled_from([None, "first", "second"])), max_size=20))
def test_all_undone_is_the_first_document_and_all_redone_the_last(commits: list[tuple[str, str | None]]) -> None:
    history = History(START)
    for title, drag in commits:
        history.commit(title, titled(title), drag)
    last = history.present

    assert undone(history).present is START
    assert redone(history).present is last
