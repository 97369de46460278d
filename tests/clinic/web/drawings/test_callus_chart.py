from datetime import date

from clinic.web.drawings.callus_chart import ScoredFilm, callus_words, draw_callus_chart

HIDDEN = ScoredFilm(date(2027, 3, 17), "RUST", (1, 2, 3, None), None)
WHOLE = ScoredFilm(date(2027, 4, 28), "mRUST", (4, 3, 2, 1), 10)


def test_a_hidden_cortex_is_a_dashed_square_and_gives_no_total():
    drawn = str(draw_callus_chart((HIDDEN,)))

    assert drawn.count("callus-hidden") == 1
    assert drawn.count("callus-square") == 3
    assert "RUST: no total" in drawn


def test_squares_are_filled_by_thirds_from_nothing_to_whole():
    heights = [f'height="{height}" class="callus-fill"' for height in ("24", "16", "8", "0")]

    assert all(height in str(draw_callus_chart((WHOLE,))) for height in heights)


def test_the_chart_in_words_names_every_cortex():
    assert callus_words((HIDDEN, WHOLE)) == (
        "Wednesday 17 March 2027: medial 1, lateral 2, anterior 3, posterior hidden; RUST: no total. "
        "Wednesday 28 April 2027: medial 4, lateral 3, anterior 2, posterior 1; mRUST 10."
    )
