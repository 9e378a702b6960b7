"""Readings of a resin's cure from CSV, in the kit and on their own."""

import numpy as np
import pytest

from teewright import demo
from teewright.errors import FileFormatError, InputError
from teewright.formats.cure_csv import CONVERSION_TEMPLATE, HEAT_TEMPLATE, read_cure
from teewright.formats.kit_readings import files_beside
from teewright.formats.kit_toml import read_kit
from teewright.resin.measured import marks_of, measured
from teewright.units import kelvin

COMMAS = b"""# a comment
series,temperature_c,time_min,conversion
a,10,0,0
a,10,30,0.21
a,10,60,0.44
a,10,120,0.70
b,25,10,0.30
b,25,20,0.52
b,25,40,0.80
b,25,60,0.91
"""
NAMED = b'time_spread = 0.10\nreadings = "quick.csv"\n'


def kit_naming(extra: bytes = b"") -> bytes:
    """The demo's kit, its first resin with readings."""
    return demo.file(demo.KIT_FILE).replace(b"time_spread = 0.10\n", NAMED + extra, 1)


def test_series_are_read_in_si_units() -> None:
    (a, b), findings = read_cure(COMMAS, file="c.csv")
    assert findings == ()
    assert (a.name, a.temperature, b.temperature) == ("a", kelvin(10.0), kelvin(25.0))
    assert a.times == (0.0, 1800.0, 3600.0, 7200.0)
    assert (a.conversions[1], a.heat_flows) == (0.21, ())


def test_semicolons_decimal_commas_seconds_and_other_names() -> None:
    text = "sample;Temperature C;time_s;heat_flow_w_g\nx;12,5;30;0,25\nx;12,5;90;0,20\n"
    (one,), findings = read_cure(text.encode("cp1252"), file="c.csv")
    assert findings == ()
    assert (one.temperature, one.times) == (kelvin(12.5), (30.0, 90.0))
    assert one.heat_flows == pytest.approx((250.0, 200.0))


def test_without_names_each_temperature_is_a_series() -> None:
    text = b"temperature_c,time_min,conversion\n10,5,0.1\n10,9,0.2\n20,5,0.4\n"
    series, findings = read_cure(text, file="c.csv")
    assert [one.name for one in series] == ["at 10 °C", "at 20 °C"]
    assert [f.rule for f in findings] == ["series-not-named"]


def test_a_column_that_is_not_used_is_told() -> None:
    text = b"series,temperature_c,time_min,conversion,operator\na,10,5,0.1,x\n"
    _, findings = read_cure(text, file="c.csv")
    assert [(f.rule, f.place.field) for f in findings] == [("column-not-used", "operator")]


@pytest.mark.parametrize(
    ("text", "words"),
    [
        (b"series,time_min,conversion\na,5,0.1\n", ("no column temperature_c",)),
        (b"temperature_c,time_min\n10,5\n", ("no column conversion or heat_flow_w_g",)),
        (
            b"temperature_c,time_min,time_s,conversion\n10,5,300,0.1\n",
            ("has both time_min and time_s",),
        ),
        (b"temperature_c,time_min,conversion\n", ("holds no reading",)),
        (b"temperature_c,time_min,conversion\n10,5,1.2\n", ("line 2", "conversion", "0 to 1")),
        (b"temperature_c,time_min,conversion\n10,,0.1\n", ("line 2", "time_min", "is empty")),
        (b"temperature_c,time_min,conversion\n10,x,0.1\n", ("line 2", "not a number")),
        (b"temperature_c,time_min,conversion\n400,5,0.1\n", ("line 2", "temperature_c")),
        (b"temperature_c,time_min,heat_flow_w_g\n10,5,400\n", ("line 2", "-0.5 to 50")),
        (
            b"series,temperature_c,time_min,conversion\na,10,5,0.1\na,10,5,0.2\n",
            ("line 3", "does not ascend within series a", "more than 5"),
        ),
        (
            b"series,temperature_c,time_min,conversion\na,10,5,0.1\na,11,6,0.2\n",
            ("line 3", "changes within series a", "10, as in its first reading"),
        ),
        (
            b"series,temperature_c,time_min,conversion\na,10,5,0.1\nb,10,5,0.2\na,10,6,0.2\n",
            ("line 4", "series a", "interrupted"),
        ),
    ],
)
def test_faults_name_line_and_field(text: bytes, words: tuple[str, ...]) -> None:
    with pytest.raises(InputError) as caught:
        read_cure(text, file="c.csv")
    for word in ("c.csv", *words):
        assert word in str(caught.value), word


@pytest.mark.parametrize("template", [CONVERSION_TEMPLATE, HEAT_TEMPLATE])
def test_an_empty_template_only_lacks_readings(template: str) -> None:
    with pytest.raises(FileFormatError, match="holds no reading"):
        read_cure(template.encode(), file="c.csv")


def test_a_kit_names_its_readings_and_holds_them() -> None:
    assert files_beside(demo.file(demo.KIT_FILE)) == ()
    assert files_beside(b"not = [toml") == ()
    assert files_beside(kit_naming()) == ("quick.csv",)
    kit, findings = read_kit(kit_naming(), file="kit.toml", beside={"quick.csv": COMMAS})
    assert [len(r.readings) for r in kit.resins] == [2, 0]
    assert kit.resins[0].readings_source == "quick.csv"
    # the first series ends at 0.70, far from the release
    (early,) = [f for f in findings if f.rule == "readings-end-early"]
    assert "series a at 10 °C" in early.text
    assert early.place.file == "quick.csv"


def test_readings_that_are_not_there_are_named() -> None:
    with pytest.raises(InputError, match=r"resins\[0\].readings = 'quick.csv' is not there"):
        read_kit(kit_naming(), file="kit.toml")


def test_readings_without_a_heat_of_reaction_are_refused() -> None:
    cold = kit_naming().replace(b"heat_kj_kg = 260\n", b"", 1)
    with pytest.raises(InputError, match="are of no use while heat_kj_kg is not told"):
        read_kit(cold, file="kit.toml", beside={"quick.csv": COMMAS})


def test_more_heat_than_the_whole_reaction_is_refused_with_the_file() -> None:
    # 0.2 W/g over half an hour is 360 kJ/kg, the kit says 260
    rows = "".join(f"{T},{t},0.2\n" for T in (10, 20) for t in (0, 10, 20, 30))
    text = f"temperature_c,time_min,heat_flow_w_g\n{rows}".encode()
    with pytest.raises(InputError, match=r"quick.csv: heat flow of series at 10 °C.*138 %"):
        read_kit(kit_naming(), file="kit.toml", beside={"quick.csv": text})


def test_too_few_readings_are_refused() -> None:
    few = b"temperature_c,time_min,conversion\n" + b"".join(
        b"10,%d,0.%d\n" % (t, t) for t in range(1, 9)
    )
    with pytest.raises(InputError, match="8 at 1 temperatures"):
        read_kit(kit_naming(), file="kit.toml", beside={"quick.csv": few})


def test_heat_flow_adds_up_to_conversion() -> None:
    """A flow that falls straight from 0.3 to 0 W/g over 20 min gives 180 kJ/kg."""
    times = np.linspace(0.0, 20.0, 21)
    rows = "".join(f"{T},{t:g},{0.3 * (1.0 - t / 20.0):.6f}\n" for T in (10, 20) for t in times)
    series, _ = read_cure(f"temperature_c,time_min,heat_flow_w_g\n{rows}".encode(), file="h.csv")
    table = measured(series, heat=360e3)
    assert table.conversions.reshape(2, -1)[:, -1] == pytest.approx([0.5, 0.5], rel=1e-6)
    # at half the time three quarters of it has flowed
    assert table.conversions[9] == pytest.approx(0.375, rel=1e-6)
    assert table.times[9] == 600.0


RAMP = "".join(f"r,{T},{T / 2:g},{0.1 * (1 + T % 20):.1f}\n" for T in range(0, 50, 5))


def test_a_series_of_heat_flow_may_be_a_ramp() -> None:
    text = "series,temperature_c,time_min,heat_flow_w_g\n" + RAMP + RAMP.replace("r,", "s,")
    (one, two), _ = read_cure(text.encode(), file="h.csv")
    assert (one.temperature, one.ramp[1], one.ramp[-1]) == (kelvin(0.0), kelvin(5.0), kelvin(45.0))
    assert one.words == "r from 0 to 45 °C"
    table = measured((one, two), heat=3e6)
    # what was read at time 0 tells nothing
    assert table.temperatures[:9] == pytest.approx(one.ramp[1:])
    assert table.series.tolist() == [0] * 9 + [1] * 9


def test_one_ramp_alone_is_refused() -> None:
    text = "series,temperature_c,time_min,heat_flow_w_g\n" + RAMP
    series, _ = read_cure(text.encode(), file="h.csv")
    with pytest.raises(InputError, match=r"r from 0 to 45 °C.*one ramp.*two ramps or more"):
        measured(series, heat=3e6)


def test_marks_that_the_kit_does_not_tell_are_the_usual_ones() -> None:
    bare = demo.file(demo.KIT_FILE)
    for key in (b"gel_conversion = 0.58\n", b"firm_conversion = 0.90\n", b"sheet_mass_kg = 0.1\n"):
        assert key in bare
        bare = bare.replace(key, b"", 1)
    kit, _ = read_kit(bare, file="kit.toml")
    assert (kit.resin.gel, kit.resin.firm, kit.resin.sheet_mass) == (None, None, None)
    marks = marks_of(kit.resin)
    assert (marks.gel, marks.firm) == (0.58, 0.90)


@pytest.mark.parametrize(
    ("old", "new", "field"),
    [
        (b"gel_conversion = 0.58", b"gel_conversion = 0.95", "firm_conversion"),
        (b"firm_conversion = 0.90", b"firm_conversion = 0.5", "firm_conversion"),
        (b"firm_conversion = 0.90\n", b"", ""),
        (b"gel_conversion = 0.58\nfirm_conversion = 0.90", b"gel_conversion = 0.9",
         "gel_conversion"),
        (b"sheet_mass_kg = 0.1", b"sheet_mass_kg = 0", "sheet_mass_kg"),
        (b"liner_temperature_c = 60", b"liner_temperature_c = 500", "liner_temperature_c"),
        (b"sheet_mass_kg = 0.1", b'sheet_mass_kg = 0.1\nreadings = "../x.csv"', "readings"),
    ],
)  # fmt: skip
def test_marks_and_limits_out_of_range_are_refused(old: bytes, new: bytes, field: str) -> None:
    data = demo.file(demo.KIT_FILE)
    assert old in data
    changed = data.replace(old, new, 1)
    if not field:
        assert read_kit(changed, file="kit.toml")[0].resin.firm is None
        return
    with pytest.raises(InputError) as caught:
        read_kit(changed, file="kit.toml")
    assert caught.value.field.endswith(field)
    assert caught.value.line is not None
