"""The page of the sheet of jobs, written from the columns themselves.

`python -m hoseselect.interfaces.pages.batch_page > docs/batch.md` writes the page anew.
"""

from __future__ import annotations

import sys

from hoseselect.interfaces.sheets.batch_schema import columns_page

INTRODUCTION = """# Sheet of jobs

`hoseselect batch` answers a sheet of jobs, one line a job, by the rules and in the words of
`hoseselect pick`. The sheet is CSV, XLSX or Parquet, and so is the sheet of answers: the ending of
its name decides.

```text
# jobs.csv
service,name,nipple,bead,measured_on,measured,tightest_radius,fluid_steady [degF],turbo
heater hose,van 7,5/8 in,yes,plain,26 in,4 in,203,no
PCV hose,van 8,13 mm,yes,plain,300 mm,110 mm,230,no
brake line,van 9,4.75 mm,no,plain,300 mm,,,
heater hose,van 10,thick,yes,plain,26 in,4 in,203,no
```

```console
$ hoseselect batch jobs.csv -o answers.csv
...
  ERROR: 1
  STOP: 1
  USE IF: 2

Lines that cannot be used
  - C5 nipples.outside_diameter: found 'thick'; expected a length in mm, cm, m,
...
$ hoseselect batch jobs.csv -o answers.xlsx --units in --json
...
"lines": 4,
...
$ hoseselect batch --template new.xlsx
new.xlsx: fill in a line for each job; two lines show how.
$ hoseselect batch jobs.csv --suggest-headings
...
[headings]
```

- **Headings** are keys of a job file. The last word is enough where it is the only one of its kind
  (`turbo`, `fluid steady`); `nipple`, `nipple_a` and `nipple_b` stand for outside diameters. A unit
  of bare numbers stands in brackets: `duty.fluid_steady [degF]`. Titles above the headings are left
  out; headings of two lines, the upper one merged (`duty` over `fluid_steady`), are put together.
- **Cells** are filled in as in a job file: `3/8 in`, `-25 degC`, `20 inHg vacuum`, `30 mm around`,
  `13,5 mm`. A unit in the cell goes before that of the heading. An empty cell leaves the key out;
  `unknown` says that nobody knows. A run is written in one cell: `60 mm; 90 deg at 110 mm; 180 mm`.
  So is an offset on a free route: `forward 120 mm; up 80 mm`. Only what a job has a list of, clips
  and things to keep clear of, fits in no cell: such a job needs a job file.
- **Your own headings** are mapped once and kept. `--suggest-headings` drafts a file from them;
  looked over, it is given by `--headings FILE`, or stands as headings.toml in the folder of the
  catalogue and is then used for every sheet. `"Stub" = "nipples.outside_diameter [mm]"` says key
  and unit, `"Customer" = "keep"` carries a column over unread.
- **Your own columns** begin with `note` or `remark`, or are named with `--keep HEADING`
  (`--keep "*"` for all). They are carried over unread. Any other heading is refused, with the name
  of its cell: a key that is mistyped must not be left out in silence.
- **Every line gets an answer**, in the order of the sheet, or a sentence that names what is wrong
  with which cell. One bad line stops no other. An empty line stays an empty line.
- **Answers** stand in columns that begin with `answer.`, right of your own. A sheet of answers can
  be asked again: those columns are then written anew. They tell what the first screen tells: USE,
  USE IF, NO, NOT YET or STOP, hose, cut, clamps, checks, roll and price, and what to ask. No length
  to cut stands beside a hose that does not suit, or a job that is stopped; where it rests on a
  guess, the shortest and the longest stand in its place.
- **Workbooks.** The first sheet that is shown is read, or `--sheet NAME`. A formula counts by its
  stored value. Merged cells repeat downwards; merged sideways below the headings they are refused,
  as are error values, formulas without a value and hidden columns that would decide. Hidden rows
  count. A figure whose number format shows a fraction or a unit (`26 1/2`, `26 in`) is stored
  without it, and is asked about: type it as text, with its unit. A sheet has at most 1,048,576
  rows and 16,384 columns.
- **Dates** in place of figures are refused by their cell, in CSV too (`3-Aug`, `08. Mrz`,
  `2024-03-08`): a spreadsheet makes a date of 3/8. Format the column as text, as it is in the
  template.
- **The template** has a row of headings with units and two lines that show how. As a workbook it
  has choices to pick from where a cell takes few words, and a second sheet that explains every
  column.
- **CSV** has commas, semicolons or tabs, in UTF-8 or `--encoding`; a file in another encoding is
  refused as a whole, with the first byte that shows it. With semicolons, figures
  have a decimal comma: `1.250` may then be 1250 or 1,25, and is asked about where the field takes
  both. A quotation mark that is never closed costs its own line.
- **Parquet** needs the extra `parquet`: `pip install 'hoseselect[parquet]'`. The names of the
  columns are the headings and count as row 1. Texts are read as in CSV; a number is a bare number,
  in the unit of its heading or the working unit; null and NaN are empty cells, true and false yes
  and no.
  In the answers, figures (`number` in the [schema](batch.schema.json)) are doubles, all else is
  text, what is empty is null, and lines stand in groups of some 2,000.
- **Nothing is run.** A text that begins with `=`, `+`, `-`, `@` or a tab and is no number is
  written with a `'` before it in CSV, and as text in XLSX.
- **Whole or not at all.** The sheet of answers appears under its name when the last line is
  answered. A sheet of a million lines streams through bounded memory, and so does one against a
  catalogue of 50,000 sizes: fewer lines are then judged together.
- **All processors.** A sheet of more than some 2,000 lines is answered by one process for each
  processor, fewer lines where the catalogue is large; `--workers N` takes N, `--workers 1` this
  one alone. The answers are the same, byte for byte. Each needs memory of its own: about 200 MB,
  or 700 MB against 50,000 sizes. Where one is ended from outside, or you end the command, nothing
  is written and nothing goes on.
- **Lines that say the same** are answered once: a distributor's list, whose lines repeat but for
  number and name, takes a small part of the time of one in which every line differs. Names count
  where they speak of a line.
- **Several machines.** `--scheduler ADDRESS` has the lines answered by the workers of a
  [Dask](https://distributed.dask.org) scheduler (`dask scheduler`, `dask worker ADDRESS`), with the
  extra `cluster` here and on every worker: `pip install 'hoseselect[cluster]'`. The catalogue goes
  with the work; the file is written here, in the order of the sheet, byte for byte the same. What a
  worker had not handed over when it ended is worked out by another. Workers with another version of
  hoseselect, NumPy or Python are refused; so is a scheduler that does not answer within seconds, or
  has no workers for half a minute. **Whoever reaches a scheduler or a worker runs what they like on
  the workers**, and what is sent is not kept secret: keep them in a network of your own, or set up
  TLS as Dask describes it.

The figures of every rule, the order of work and the drawing are not in the sheet: read them with
`hoseselect pick` or on the bench card of the job before the work begins.

`--json` writes how many lines have which verdict, and the first errors. Exit code 0: the sheet was
answered; 2: the sheet, an option or the catalogue cannot be used. `hoseselect batch --schema`
writes [the Table Schema](batch.schema.json) of the columns.

This page is written by `python -m hoseselect.interfaces.pages.batch_page`; do not edit it by hand.

## Columns of a sheet of jobs

Only `service` must be there. `nipples.` describes both nipples alike; `nipple_a.` and `nipple_b.`
have the same columns and say where one end differs.

"""


def batch_page() -> str:
    """Return the page of the sheet of jobs, in Markdown."""
    return INTRODUCTION + columns_page()


if __name__ == "__main__":
    sys.stdout.write(batch_page())
