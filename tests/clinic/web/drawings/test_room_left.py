from clinic.web.drawings.room_left import RoomLeft, draw_room_left, left_words, room_words


def test_one_box_is_one_place():
    drawn = str(draw_room_left(RoomLeft("X-ray", 9, 5, 2)))

    assert [drawn.count(f'class="room-{state}"') for state in ("taken", "proposed", "open")] == [5, 2, 2]


def test_above_24_places_one_box_is_two_and_it_says_so():
    room = RoomLeft("Plaster", 40, 30)

    assert str(draw_room_left(room)).count("<rect") == 20
    assert room_words(room) == "Plaster: 30 of 40 places taken. One box is two places."


def test_the_number_left_counts_the_proposal_too_and_never_falls_below_nothing():
    assert left_words(RoomLeft("X-ray", 9, 5, 2)) == "2 left"
    assert left_words(RoomLeft("X-ray", 1, 1, 1)) == "0 left"
