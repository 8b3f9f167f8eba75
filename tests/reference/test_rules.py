"""The reference against small studios, answered by hand from the meaning page (routecode/pages/meaning.md)."""

from .flood import Answer, answers

Feeds = set[tuple[str, str]]


def port(name: str, direction: str, signal: str = "line", more: str = "") -> str:
    return f'{{ name = "{name}", direction = "{direction}", signal = "{signal}"{more} }}'


def unit(ident: str, *ports: str) -> str:
    return f"[unit.{ident}]\nport = [{', '.join(ports)}]\n"


def cable(a: str, b: str, more: str = "") -> str:
    return f'[[cable]]\nfrom = "{a}"\nto = "{b}"\n{more}\n'


def inside(ident: str, a: str, b: str, more: str = "") -> str:
    return f'[[unit.{ident}.inside]]\nfrom = "{a}"\nto = "{b}"\n{more}\n'


def cord(a: str, b: str, more: str = "") -> str:
    return f'[[setup.s.cord]]\nfrom = "{a}"\nto = "{b}"\n{more}\n'


def state(*parts: str, setup: str | None = None) -> Answer:
    return answers({"studio.toml": '[studio]\ntitle = "Rules"\nlanguage = 1\n' + "".join(parts)})[setup]


def fed(answer: Answer) -> Feeds:
    return {(feed[0], feed[1]) for feed in answer.feeds}


MIC, DESK, TAPE = unit("mic", port("o", "out")), unit("desk", port("i", "in")), unit("tape", port("o", "out"))
WALL = unit("wall", port("w", "either"))


def test_passive_socket_is_an_end_on_one_side_and_passed_on_both() -> None:
    parts = (MIC, DESK, WALL, cable("wall/w", "desk/i"), cord("mic/o", "wall/w"))
    assert fed(state(*parts)) == {("wall/w", "desk/i")}
    assert fed(state(*parts, setup="s")) == {("mic/o", "desk/i")}


def test_end_receives_what_drives_its_net_and_drives_nothing_then() -> None:
    parts = (MIC, DESK, WALL, '[[cable]]\nfrom = "mic/o"\nto = [["desk/i"], ["wall/w"]]\n')
    assert fed(state(*parts)) == {("mic/o", "desk/i"), ("mic/o", "wall/w")}


def test_ends_alone_feed_each_other_and_make_no_paths() -> None:
    answer = state(WALL, unit("far", port("w", "either")), cable("wall/w", "far/w"))
    assert answer.feeds == {("wall/w", "far/w", (), "kept", True), ("far/w", "wall/w", (), "kept", True)}
    assert answer.paths == frozenset()


def test_front_cable_is_at_the_face() -> None:
    parts = (MIC, DESK, WALL, cable("wall/w", "desk/i"), cable("mic/o", "wall/w", "front = true"))
    assert fed(state(*parts)) == {("mic/o", "desk/i")}


def test_two_families_give_no_feeds_even_with_a_unit_that_is_away() -> None:
    gone = '[unit.tape]\naway = "lent"\nport = [{ name = "o", direction = "out", signal = "midi" }]\n'
    split = '[[cable]]\nfrom = "desk/i"\nto = [["mic/o"], ["tape/o"]]\n'
    assert fed(state(MIC, DESK, gone, split)) == set()
    assert fed(state(MIC, DESK, TAPE, split)) == {("mic/o", "desk/i"), ("tape/o", "desk/i")}


def test_polarity_kept_reversed_and_mixed() -> None:
    turned = 'polarity = "reversed"'
    tie = unit("tie", port("a", "either"), port("b", "either"))
    hard = inside("tie", "a", "b", 'kind = "hardwired"')
    parts = (MIC, DESK, tie, cable("mic/o", "tie/a", turned), cable("tie/b", "desk/i"))
    assert {f[3] for f in state(*parts, hard).feeds} == {"reversed"}
    assert {f[3] for f in state(*parts, inside("tie", "a", "b", 'kind = "hardwired"\n' + turned)).feeds} == {"kept"}
    assert {f[3] for f in state(*parts, hard, cord("tie/a", "tie/b", turned), setup="s").feeds} == {"mixed"}


def test_transformer_between_passive_sockets_carries_from_the_driven_side() -> None:
    box = unit("box", port("a", "either"), port("b", "either")) + inside("box", "a", "b", 'kind = "transformer"')
    backwards = state(MIC, DESK, box, cable("mic/o", "box/b"), cable("box/a", "desk/i"))
    assert fed(backwards) == {("mic/o", "box/b"), ("box/a", "desk/i")}
    assert backwards.paths == {("mic/o", "desk/i", False)}


def test_transformer_passes_demand_on_to_a_passive_socket() -> None:
    box = unit("box", port("a", "either"), port("b", "either")) + inside("box", "a", "b", 'kind = "transformer"')
    answer = state(WALL, DESK, box, cable("wall/w", "box/a"), cable("box/b", "desk/i"))
    assert answer.paths == {("wall/w", "desk/i", False)}


def test_unless_counts_cables_and_cords_at_the_port_itself() -> None:
    desk = unit("desk", port("i", "in"), port("ret", "in"), port("o", "out"))
    parts = (MIC, TAPE, desk, unit("amp", port("i", "in")), inside("desk", "i", "o", 'unless = "ret"'))
    wired = (cable("mic/o", "desk/i"), cable("desk/o", "amp/i"))
    assert state(*parts, *wired).paths == {("mic/o", "amp/i", False)}
    plugged = state(*parts, *wired, cord("tape/o", "desk/ret"), setup="s")
    assert plugged.paths == {("mic/o", "desk/i", False), ("tape/o", "desk/ret", False), ("desk/o", "amp/i", True)}
    assert ("mic/o", "amp/i", False) not in state(*parts, *wired, cable("tape/o", "desk/ret")).paths


def test_switch_rests_in_its_first_position() -> None:
    desk = '[unit.desk]\nport = [{ name = "i", direction = "in", signal = "line" }, '
    desk += (
        '{ name = "o", direction = "out", signal = "line" }]\nswitch = [{ name = "m", positions = ["off", "on"] }]\n'
    )
    parts = (MIC, desk, inside("desk", "i", "o", 'when = "m = on"'), unit("amp", port("i", "in")))
    wired = (cable("mic/o", "desk/i"), cable("desk/o", "amp/i"), '[[setup.s.set]]\nswitch = "desk/m"\nto = "on"\n')
    assert ("desk/o", "amp/i", True) in state(*parts, *wired).paths
    assert state(*parts, *wired, setup="s").paths == {("mic/o", "amp/i", False)}


def test_loop_that_nothing_reaches_is_its_own_source() -> None:
    echo = unit("echo", port("i", "in"), port("o", "out"), port("p", "out"))
    parts = (echo, DESK, cable("echo/o", "echo/i"), cable("echo/p", "desk/i"), inside("echo", "i", "p"))
    level = state(*parts, inside("echo", "i", "o", 'control = "level"'))
    assert level.feedback == {(("echo/i", "echo/o"), True)}
    assert level.paths == {("echo/o", "desk/i", False)}
    assert state(*parts, inside("echo", "i", "o")).feedback == {(("echo/i", "echo/o"), False)}


def test_network_ports_feed_by_routes_only_and_send_and_get_apart() -> None:
    box = port("n", "both", "network", ", channels = 2")
    parts = (unit("p", box), unit("q", box), cable("p/n", "q/n"))
    assert fed(state(*parts)) == set()
    route = '[[route]]\nfrom = "p/n ch 1..2"\nto = "q/n ch 2..1"\n'
    answer = state(*parts, route)
    assert answer.paths == {("p/n ch 1", "q/n ch 2", False), ("p/n ch 2", "q/n ch 1", False)}


def test_channels_go_up_to_the_smaller_number() -> None:
    parts = (unit("a", port("o", "out", "aes3")), unit("b", port("i", "in", "aes3", ", channels = 1")))
    assert fed(state(*parts, cable("a/o", "b/i"))) == {("a/o ch 1", "b/i")}


def test_jacks_of_equal_ways_are_the_first_by_bay_row_and_number() -> None:
    bay = '[bay.x]\ncolumns = 12\n[[bay.x.mult]]\nat = ["top 9..10", "bottom 2"]\n'
    split = '[[cable]]\nfrom = "mic/o"\nto = [["x/top 10"], ["x/top 9"]]\n'
    answer = state(MIC, DESK, bay, split, cable("x/bottom 2", "desk/i"))
    assert answer.feeds == {("mic/o", "desk/i", ("x/top 9", "x/bottom 2"), "kept", False)}


def test_mult_is_one_conductor_and_not_a_chain() -> None:
    bay = '[bay.x]\ncolumns = 3\n[[bay.x.mult]]\nat = "top 1..3"\n'
    answer = state(MIC, DESK, bay, cable("mic/o", "x/top 1"), cable("desk/i", "x/top 3"))
    assert answer.feeds == {("mic/o", "desk/i", ("x/top 1", "x/top 3"), "kept", False)}


def test_needs_never_and_only() -> None:
    parts = (MIC, TAPE, DESK, '[[cable]]\nfrom = "desk/i"\nto = [["mic/o"], ["tape/o"]]\n')
    need = '[[setup.s.need]]\npath = ["mic/o", "desk/i"]\n'
    assert state(*parts, need, setup="s").needs == frozenset()
    assert state(*parts, need, "never = true\n", setup="s").needs == {("never", ("mic/o", "desk/i"))}
    assert state(*parts, need, "only = true\n", setup="s").needs == {("only", ("mic/o", "desk/i"))}


def test_included_setups_come_in_order_and_own_wins() -> None:
    bay = '[bay.x]\ncolumns = 1\nnormalling = "plugs"\n[[bay.x.column]]\nat = 1\ntop = "mic/o"\nbottom = "desk/i"\n'
    plug = '[[setup.{}.plug]]\nat = "x/top 1"\nset = "{}"\n'
    setups = plug.format("a", "bottom") + plug.format("b", "out") + '[setup.s]\ninclude = ["{}", "{}"]\n'
    assert fed(state(MIC, DESK, bay, setups.format("b", "a"), setup="s")) == {("mic/o", "desk/i")}
    assert fed(state(MIC, DESK, bay, setups.format("a", "b"), setup="s")) == set()
    own = setups.format("b", "a") + plug.format("s", "top")
    assert fed(state(MIC, DESK, bay, own, setup="s")) == set()
