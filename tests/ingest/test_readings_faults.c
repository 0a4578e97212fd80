/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Each file of tests/bad/readings holds one fault: its place and its words. */
#include <criterion/criterion.h>

#include "jobdir.h"

static const struct fault_row rows[] = {
    {"readings/column-of-other-readings.csv", BT_EINPUT, "", 1, 21,
     "a column of other readings: 'stick', the header of height readings is "
     "x,y,height[,setup]"},
    {"readings/column-twice.csv", BT_EINPUT, "", 1, 11,
     "a column twice: 'x_in' is x again, keep one of them"},
    {"readings/column-without-name.csv", BT_EINPUT, "", 1, 11,
     "a column without a name: name it, or note what is not to be read"},
    {"readings/columns-missing.csv", BT_EINPUT, "", 1, 11,
     "columns missing: 'line', the header of gap readings is line,x,y,gap"},
    {"readings/date-as-a-number.csv", BT_EINPUT, "", 3, 6,
     "a date as a number: '46097', a spreadsheet made it of a fraction such as 3/16: "
     "make the column text and write the fraction again"},
    {"readings/date-as-a-number-gap.csv", BT_EINPUT, "", 3, 11,
     "a date as a number: '46097', a spreadsheet made it of a fraction such as 3/16: "
     "make the column text and write the fraction again"},
    {"readings/denominator-zero.csv", BT_EINPUT, "", 3, 6,
     "a fraction with denominator 0: '17 1/0', write a denominator from 1 to 1024, "
     "such as 7/8"},
    {"readings/empty.csv", BT_EINPUT, "", 1, 1,
     "nothing in it: no header, begin with a line that names the columns"},
    {"readings/every-reading-blank.csv", BT_EINPUT, "", 0, 0,
     "nothing read yet: 'every-reading-blank.csv', type what you read into it"},
    {"readings/feet-on-one-place.csv", BT_EINPUT, "", 2, 5,
     "feet and dial on one place: '150', the dial stands between two feet"},
    {"readings/fraction-in-thou.csv", BT_EINPUT, "", 3, 6,
     "a fraction of a thousandth of an inch: '1/64', write 1/64 in"},
    {"readings/gap-of-many-inches.csv", BT_EINPUT, "", 3, 11,
     "a gap of 30 in: '30', did you mean 30 thou (0.030 in)?"},
    {"readings/gap-of-two-words.csv", BT_EINPUT, "", 3, 17,
     "not a gap: '0.012 goes 0.014 not', did you mean 0.012..0.014?"},
    {"readings/grid-column-without-x.csv", BT_EINPUT, "", 1, 18,
     "no x for this column: type where it was read"},
    {"readings/grid-letters-in-number.csv", BT_EINPUT, "", 2, 10,
     "not a length: '1l', write a number with a unit such as 12.5 mm or 17 7/8 in"},
    {"readings/grid-of-an-unknown-quantity.csv", BT_EINPUT, "", 1, 1,
     "a grid of an unknown quantity: 'gap_thou@in', write the corner cell as "
     "height_thou@in, gap-along_thou@in or gap-across_mm@mm"},
    {"readings/grid-of-one-column.csv", BT_EINPUT, "", 2, 1,
     "a line with one place: '0', type two or more places of one placement of the "
     "straightedge"},
    {"readings/grid-row-without-y.csv", BT_EINPUT, "", 3, 1,
     "no y for this row: type where it was read"},
    {"readings/grid-unit-of-another-kind.csv", BT_EINPUT, "", 1, 1,
     "no unit of length for the readings: 'height_pct@in', write the corner cell as "
     "height_thou@in, gap-along_thou@in or gap-across_mm@mm"},
    {"readings/grid-without-unit-of-positions.csv", BT_EINPUT, "", 1, 1,
     "no unit of length for the positions: 'height_thou@', write the corner cell as "
     "height_thou@in, gap-along_thou@in or gap-across_mm@mm"},
    {"readings/grid-without-unit-of-readings.csv", BT_EINPUT, "", 1, 1,
     "no unit known for the readings: 'height@in', write the corner cell as "
     "height_thou@in, gap-along_thou@in or gap-across_mm@mm"},
    {"readings/grid-x-not-increasing.csv", BT_EINPUT, "", 1, 21,
     "positions must increase: '10', x runs from the left end, column by column"},
    {"readings/grid-y-not-increasing.csv", BT_EINPUT, "", 3, 1,
     "positions must increase: '10', y runs from the back edge, row by row"},
    {"readings/hexadecimal.csv", BT_EINPUT, "", 2, 2,
     "a hexadecimal number: '0x10', write it in decimal digits"},
    {"readings/infinity.csv", BT_EINPUT, "", 3, 1,
     "not a length: 'inf', write a number with a unit such as 12.5 mm or 17 7/8 in"},
    {"readings/interval-wrong-way-round.csv", BT_EINPUT, "", 3, 12,
     "an interval that does not grow: '0.15..0.10', write the gap that went first, "
     "then the thicker one that did not"},
    {"readings/letters-in-number.csv", BT_EINPUT, "", 3, 10,
     "not a length: '5.0l', write a number with a unit such as 12.5 mm or 17 7/8 in"},
    {"readings/line-missing.csv", BT_EINPUT, "", 4, 1,
     "the line is missing: type which line the gap belongs to"},
    {"readings/line-not-straight.csv", BT_EINPUT, "", 3, 1,
     "line not straight: 'back' has this place 6 mm beside the line through its ends, "
     "at most 5 mm will do; is it another line?"},
    {"readings/line-with-one-place.csv", BT_EINPUT, "", 4, 1,
     "a line with one place: 'front', type two or more places of one placement of the "
     "straightedge"},
    {"readings/line-name-misspelt.csv", BT_EINPUT, "", 4, 1,
     "a line with one place: 'bakc', did you mean 'back'?"},
    {"readings/nan.csv", BT_EINPUT, "", 2, 5,
     "not a length: 'nan', write a number with a unit such as 12.5 mm or 17 7/8 in"},
    {"readings/negative-gap.csv", BT_EINPUT, "", 3, 12,
     "a negative gap: '-0.2', write 0 where the feelers touch"},
    {"readings/no-header.csv", BT_EINPUT, "", 1, 1,
     "no header: the first row must name the columns, as line,x_in,y_in,gap_in"},
    {"readings/no-lines-file.csv", BT_EINPUT, "", 1, 6,
     "no lines.csv: it says where the lines run along which `at` is measured, write "
     "one with line,from,to"},
    {"readings/no-reading-column.csv", BT_EINPUT, "", 1, 1,
     "no column with a reading: 'x_mm', one of height, gap, rise, slope, wind, z must "
     "be there"},
    {"readings/no-unit-for-positions.csv", BT_EINPUT, "", 1, 1,
     "no unit known for bare numbers: 'x', write x_in or x_mm"},
    {"readings/no-unit-for-slope.csv", BT_EINPUT, "", 1, 25,
     "no unit known for bare numbers: 'slope', write slope_mm_per_m or slope_deg"},
    {"readings/only-a-header.csv", BT_EINPUT, "", 2, 1,
     "only a header: nothing read yet, type a row for each reading"},
    {"readings/position-missing.csv", BT_EINPUT, "", 3, 5,
     "y is missing: type where the reading was taken, or leave the reading empty"},
    {"readings/ragged-row.csv", BT_EINPUT, "", 3, 6,
     "too few cells: 2 where the header has 3, type an empty cell for what was not "
     "taken"},
    {"readings/second-header.csv", BT_EINPUT, "", 4, 1,
     "a second header: 'x_in', put what follows into a file of its own"},
    {"readings/setup-missing.csv", BT_EINPUT, "", 3, 12,
     "the set-up is missing: type which set-up of the dial the height belongs to"},
    {"readings/slope-of-a-right-angle.csv", BT_EINPUT, "", 2, 11,
     "a slope of a right angle or more: '90', write one between -90 and 90 deg"},
    {"readings/slope-on-one-place.csv", BT_EINPUT, "", 2, 8,
     "both ends on one place: '300', type where the two ends of the level stood"},
    {"readings/spreadsheet-date.csv", BT_EINPUT, "", 3, 6,
     "a date: '16-Mar', a spreadsheet made it of a fraction such as 3/16: make the "
     "column text and write the fraction again"},
    {"readings/stick-on-one-place.csv", BT_EINPUT, "", 2, 13,
     "a stick that touches at one place only: '200', y1 and y2 are where it lies on "
     "the panel"},
    {"readings/stick-without-length.csv", BT_EINPUT, "", 2, 15,
     "a stick without length: '0', type the length over which wind was read"},
    {"readings/sticks-on-one-place.csv", BT_EINPUT, "", 2, 5,
     "both sticks on one place: '100', x1 is the near stick, x2 the far one"},
    {"readings/thousands-comma.csv", BT_EINPUT, "", 2, 3,
     "a comma in a number: '1,200', write a decimal point and no thousands mark, such "
     "as 1200.5"},
    {"readings/too-large.csv", BT_EINPUT, "", 3, 5,
     "too large a number: '1e400', write one that a double holds, about 1e-300 to "
     "1e300"},
    {"readings/two-kinds-of-reading.csv", BT_EINPUT, "", 1, 16,
     "two kinds of reading in one file: 'gap', put each kind into a file of its own"},
    {"readings/two-units.csv", BT_EINPUT, "", 3, 8,
     "two units: '500 mm in', write a number with a unit such as 12.5 mm or 17 7/8 in"},
    {"readings/uncertainty-of-another-kind.csv", BT_EINPUT, "", 1, 21,
     "uncertainty of another kind: 'u_deg', a length has u_mm or the like"},
    {"readings/uncertainty-zero.csv", BT_EINPUT, "", 2, 10,
     "an uncertainty that is not more than 0: '0', leave the cell empty where none is "
     "known"},
    {"readings/unit-of-another-kind.csv", BT_EINPUT, "", 1, 16,
     "unit of another kind: 'gap_deg', write gap_UNIT with one of mm, cm, m, um, in, "
     "ft, thou"},
    {"readings/unknown-column.csv", BT_EINPUT, "", 1, 11,
     "unknown column: 'heigth_mm', did you mean 'height'? Columns of readings are x, "
     "y, height, setup, line, at, gap, foot1_x, foot1_y, dial_x, dial_y, foot2_x, "
     "foot2_y, rise, x1, y1, x2, y2, slope, stick, wind, z, instrument, u and note"},
    {"readings/unknown-feeler.csv", BT_EINPUT, "", 3, 12,
     "a feeler that nothing defines: 'papre', define it under [feelers] in the job.ini "
     "of its folder, or write 0 (touches), 0.30, 0.25..0.30 (the first "
     "went, the second did not), <0.05 (nothing went) or paper+card"},
    {"readings/unknown-unit.csv", BT_EINPUT, "", 1, 11,
     "unknown unit: 'height_furlong', write height_UNIT with one of mm, cm, m, um, in, "
     "ft, thou"},
};

Test(readings_faults, each_bad_readings_file_gives_its_fault_and_no_other)
{
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++)
        expect_fault(&rows[i]);
}
