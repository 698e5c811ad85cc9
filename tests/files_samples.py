"""Station, policy and chart texts that the tests of reading start from, all of an invented yard."""

import io
from pathlib import Path

STATION = """\
format = "steadycone-station/1"

[station]
name = "Tern Quay, slip 2"
region = "uk"
fuel = "acetylene"
policy = "yard.toml"
ambient = "12 °C"
atmosphere = "1.013 bar abs"

[place]
enclosed = false
volume = "400 m3"

[oxygen.supply]
kind = "cylinders"
cylinders = 1
water_volume = "50 L"
pressure = "140 bar"
reserve = "5 bar"
shared_flow = "0 m3/h"

[oxygen.regulator]
gas = "oxygen"
inlet_rating = "230 bar"
outlet_rating = "10 bar"
rated_flow = "30 m3/h"
lockup = "30 %"
inlet_division = "5 bar"
outlet_division = "0.1 bar"
gauge_class = "2.5"
made = "2023-02"
tested = 2026-03-04

[[oxygen.part]]
kind = "arrestor"
gas = "oxygen"
flow_points = [ { inlet = "5 bar", drop = "0.2 bar", flow = "16 m3/h", gas = "air" } ]
max_pressure = "12 bar"
made = "2023-02"
tested = "2026-03-04"

[[oxygen.part]]
kind = "hose"
grade = "oxygen"
bore = "6.3 mm"
length = "20 m"
max_pressure = "20 bar"
made = "2024-05"
fittings = 6

[fuel.supply]
cylinders = 1
content = "8 kg"
gross = "68.2 kg"
tare = "62.4 kg"

[fuel.regulator]
gas = "acetylene"
outlet_rating = "1.5 bar"

[[fuel.part]]
kind = "check valve"
sonic_conductance = "2.1 L/(s bar)"
critical_ratio = 0.4

[[fuel.part]]
kind = "hose"
grade = "acetylene"
bore = "1/4 in"
length = "20 m"

[torch]
attachment = "cutting"
mixer = "equal pressure"
seal = "o-ring"
fuels = ["acetylene"]

[tip]
chart = "chart.csv"
size = 3

[job]
kind = "cut"
material = "low-carbon steel"
thickness = "25 mm"
length = "8 m"
start = "edge"
bevel = "0°"

[settings]
when = "flowing"
oxygen = "3.5 bar"
fuel = "0.5 bar"

[[declared]]
kind = "adaptor"
where = "oxygen inlet"
"""

POLICY = """\
format = "steadycone-policy/1"
acetylene_cap = "0.9 bar"
draw = { stop = "1/7", caution = "1/10", long = "1 h", long_stop = "1/10", long_caution = "1/15", of = "left" }
arrestors = { at = ["regulator", "torch"], largest_flow_loss = "10 %" }
leak = { reject = "2 L/h", wait = "5 min" }
intervals = { regulator = "5 years", arrestor = "1 year", hose = "5 years", unknown_age = "overdue" }
purge = { rule = "cleared", margin = 1.2 }
loss = "15 %"
reclose = "30 min"
cylinder_watch = "60 min"
variants = { lighting = "fuel-first" }
"""

CHART = """\
# title: invented for Tern Quay
# fuel: acetylene
# attachment: cutting
# basis: torch inlet
size,thickness from [mm],thickness to [mm],oxygen pressure [bar],fuel pressure [bar],cutting oxygen [m3/h],preheat oxygen [m3/h],fuel flow [m3/h],cutting bore [mm],speed [mm/min]
1,3,10,2.0,0.5,1.2,0.33,0.3,1.0,500-700
2,10,20,2.5,0.5,2.2,0.36,0.33,1.25,400-500
3,20,40,3.0-3.5,0.5,4.0,0.40,0.36,1.6,300-400
4,40,75,4.0,0.5,6.5,0.45,0.40,1.9,200-300
"""

CHART_COMMA = """\
# fuel: propane
# basis: regulator
# basis hose: 5 m x 6.3 mm
size;thickness [mm];oxygen pressure [bar];fuel pressure [bar];cutting oxygen [L/h]
0;3-10;2,5;0,5;1 200
1;10-25;3,0;0,5;2 800,5
"""

CHART_INCH = """\
# fuel: acetylene
Tip size\tMetal thickness [in]\tO2 pressure (psi)\tAcetylene pressure (psi)\tCutting oxygen flow [CFH]\tSpeed min [ipm]\tSpeed max [ipm]
00\t1/8 - 1/4\t20-25\t3\t40\t20\t28
0\t1/4 to 1/2\t25-30\t3\t60\t18\t24
1\t1/2 – 1\t35\t4\t1,100.5\t14\t18
2\t1 - 1 1/2\t40\t5\t160\t12\t16
"""

ROWS = [
    ["size", "thickness from [mm]", "thickness to [mm]", "oxygen pressure [bar]", "fuel pressure [bar]"],
    [1, 3, 10, 2.0, 0.5],
    [2, 10.0, 25.5, "2,5", 0.5],
]
ABOUT = [["fuel", "acetylene"], ["basis", "torch inlet"]]


def write(folder: Path, station: str = STATION, policy: str = POLICY, chart: str = CHART) -> Path:
    """The three files in a folder; the path of the station's."""
    (folder / "yard.toml").write_text(policy, encoding="utf-8")
    (folder / "chart.csv").write_text(chart, encoding="utf-8")
    path = folder / "slip-2.toml"
    path.write_text(station, encoding="utf-8")
    return path


def xlsx(rows: list[list[object]] | None = None, about: list[list[object]] | None = None) -> bytes:
    import openpyxl

    book = openpyxl.Workbook()
    for row in rows if rows is not None else ROWS:
        book.active.append(row)
    if about is not None:
        sheet = book.create_sheet("About")
        for row in about:
            sheet.append(row)
    kept = io.BytesIO()
    book.save(kept)
    return kept.getvalue()


def ods(rows: list[list[object]] | None = None, about: list[list[object]] | None = None) -> bytes:
    from odf.opendocument import OpenDocumentSpreadsheet
    from odf.table import Table, TableCell, TableRow
    from odf.text import P

    book = OpenDocumentSpreadsheet()
    for name, table in (("tips", rows if rows is not None else ROWS), ("about", about or [])):
        sheet = Table(name=name)
        for row in table:
            line = TableRow()
            for value in row:
                number = isinstance(value, int | float)
                cell = TableCell(valuetype="float", value=value) if number else TableCell(valuetype="string")
                cell.addElement(P(text=str(value)))
                line.addElement(cell)
            sheet.addElement(line)
        if table:
            book.spreadsheet.addElement(sheet)
    kept = io.BytesIO()
    book.save(kept)
    return kept.getvalue()
