/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Each folder of tests/bad/job holds one fault: its place and its words. */
#include <criterion/criterion.h>

#include "jobdir.h"

static const struct fault_row rows[] = {
    {"job/absolute-path", BT_EINPUT, "job.ini", 9, 9,
     "an absolute path: '/readings.csv', put the file into the job folder and name it "
     "there"},
    {"job/beyond-the-line", BT_EINPUT, "readings.csv", 3, 6,
     "beyond the ends of the line: '1300', line 'back' is 1200 mm long"},
    {"job/beyond-the-line-start", BT_EINPUT, "readings.csv", 2, 6,
     "beyond the ends of the line: '-10', line 'back' is 1200 mm long"},
    {"job/board-moisture-letters", BT_EINPUT, "boards.csv", 2, 7,
     "not a percentage: 'dry', write a number with a unit such as 45 %"},
    {"job/board-moisture-of-the-air", BT_EINPUT, "boards.csv", 2, 7,
     "a moisture that is not believed: '80', at most 30 % in a room: is the unit "
     "right?"},
    {"job/board-twice", BT_EINPUT, "boards.csv", 3, 1,
     "a board twice: '1' is line 2 of this file already"},
    {"job/board-width-missing", BT_EINPUT, "boards.csv", 3, 3,
     "the width is missing: type what the board is wide as glued"},
    {"job/board-against-grain-unknown", BT_EINPUT, "boards.csv", 3, 7,
     "unknown value of against_grain: 'never', write one of no, yes"},
    {"job/board-fence-unknown", BT_EINPUT, "boards.csv", 2, 7,
     "unknown value of fence: 'in/in', write one of in, out, in/out, out/in"},
    {"job/board-grain-unknown", BT_EINPUT, "boards.csv", 2, 7,
     "unknown value of grain: 'lef', write one of left, right"},
    {"job/board-show-unknown", BT_EINPUT, "boards.csv", 3, 7,
     "unknown value of show: 'down', write one of up, either"},
    {"job/board-width-zero", BT_EINPUT, "boards.csv", 3, 3,
     "width must be more than 0, such as 40 mm or 1 1/2 in: '0'"},
    {"job/board-thicker-than-believed", BT_EINPUT, "boards.csv", 3, 7,
     "a thickness that is not believed: '104', at most 4 times the panel's: is the "
     "unit "
     "right?"},
    {"job/board-thicker-than-any", BT_EINPUT, "boards.csv", 3, 7,
     "a thickness that is not believed: '301', at most 300 mm (12 in): is the unit "
     "right?"},
    {"job/board-taper-of-a-fifth", BT_EINPUT, "boards.csv", 3, 7,
     "a taper that is not believed: '5.2', at most a fifth of the thickness: is the "
     "unit right?"},
    {"job/board-taper-larger-than-believed", BT_EINPUT, "boards.csv", 3, 10,
     "a taper that is not believed: '-11', at most 10 mm (0.39 in): is the unit "
     "right?"},
    {"job/board-without-name", BT_EINPUT, "boards.csv", 3, 1,
     "the board has no name: give it one, a number will do"},
    {"job/boards-column-missing", BT_EINPUT, "boards.csv", 1, 1,
     "no column 'width': a table of boards has at least board,width"},
    {"job/boards-file-missing", BT_ENOFILE, "planks.csv", 0, 0,
     "there is no such file"},
    {"job/boards-unknown-column", BT_EINPUT, "boards.csv", 1, 13,
     "unknown column: 'colour', columns of boards are board, width, thickness, taper, "
     "length, species, rings, ring_angle, heart, grain, show, fence, against_grain, "
     "moisture and note"},
    {"job/clamps-neither-on-nor-off", BT_EINPUT, "job.ini", 10, 10,
     "unknown value of clamps: 'some', write one of off, on"},
    {"job/comma-too-many", BT_EINPUT, "job.ini", 9, 22,
     "a file without a name: one comma too many"},
    {"job/confidence-out-of-range", BT_EINPUT, "job.ini", 12, 14,
     "confidence must be more than 50 % and less than 100 %: '0.95', write it as 95 %"},
    {"job/corner-of-unknown-panel", BT_EINPUT, "lines.csv", 2, 10,
     "size of the panel not known: 'B', state length and width in [panel], or the end "
     "as `x y`"},
    {"job/date-in-another-form", BT_EINPUT, "job.ini", 10, 8,
     "not a date: '16.03.2026', write year, month and day as 2026-03-16"},
    {"job/date-of-an-unlikely-year", BT_EINPUT, "job.ini", 10, 8,
     "the year is not likely: '1890-01-01', dates begin with 1950"},
    {"job/date-that-is-none", BT_EINPUT, "job.ini", 10, 8,
     "not a date: '2026-02-30', write year, month and day as 2026-03-16"},
    {"job/face-neither-top-nor-bottom", BT_EINPUT, "job.ini", 10, 8,
     "unknown value of face: 'left', write one of top, bottom"},
    {"job/feeler-name-is-a-unit", BT_EINPUT, "job.ini", 12, 1,
     "not a name for a feeler: 'thou', a name has letters, digits, _ and -, begins "
     "with a letter and is no unit"},
    {"job/feeler-name-with-a-blank", BT_EINPUT, "job.ini", 12, 1,
     "not a name for a feeler: 'thin card', a name has letters, digits, _ and -, "
     "begins with a letter and is no unit"},
    {"job/feeler-too-thick", BT_EINPUT, "job.ini", 4, 9,
     "a feeler of 4 in: '4', did you mean 4 thou?"},
    {"job/feeler-too-thick-in-mm", BT_EINPUT, "job.ini", 4, 8,
     "a feeler of 12.5 mm: '12.5', one of at most 10 mm (0.39 in) is believed: is the "
     "unit right?"},
    {"job/feeler-without-thickness", BT_EINPUT, "job.ini", 12, 8,
     "card must be more than 0, such as 1.5 mm or 1/16 in: '0'"},
    {"job/file-is-a-folder", BT_ENOFILE, "readings", 0, 0, "is a folder, not a file"},
    {"job/file-twice-in-a-set", BT_EINPUT, "job.ini", 9, 23,
     "a file twice in one set: 'readings.csv', name it once"},
    {"job/humidity-out-of-range", BT_EINPUT, "job.ini", 10, 12,
     "humidity must be 0 % to 100 %: '145 %'"},
    {"job/instrument-does-not-fit", BT_EINPUT, "job.ini", 10, 14,
     "an instrument that does not fit: 'steel edge' gives no slope readings, see its "
     "kind"},
    {"job/instrument-not-declared", BT_EINPUT, "readings.csv", 2, 14,
     "unknown instrument: 'steel edge', none is declared"},
    {"job/instrument-of-a-row-does-not-fit", BT_EINPUT, "readings.csv", 3, 16,
     "an instrument that does not give such readings: 'bench level', see its kind in "
     "job.ini"},
    {"job/instrument-of-a-row-unknown", BT_EINPUT, "readings.csv", 3, 16,
     "unknown instrument: 'steel egde', did you mean 'steel edge'?"},
    {"job/instrument-uncertainty-zero", BT_EINPUT, "job.ini", 13, 5,
     "u must be more than 0, such as 1.5 mm or 1/16 in: '0'"},
    {"job/instrument-without-kind", BT_EINPUT, "job.ini", 11, 1,
     "an instrument without its kind: 'steel edge', write kind = one of straightedge, "
     "feelers, dial, bar, level, sticks, square, angle gauge"},
    {"job/joint-letters", BT_EINPUT, "job.ini", 12, 16,
     "not a length: '2oo', write a number with a unit such as 12.5 mm or 17 7/8 in"},
    {"job/joint-outside-panel", BT_EINPUT, "job.ini", 12, 15,
     "a joint outside the panel: '600', joints lie between the back edge (0) and the "
     "width"},
    {"job/joints-not-increasing", BT_EINPUT, "job.ini", 12, 15,
     "joints must increase from the back edge: '200' is not beyond the one before"},
    {"job/key-of-another-instrument", BT_EINPUT, "job.ini", 13, 1,
     "not for this kind: 'zero', it belongs to a bar or a level"},
    {"job/length-of-a-dial", BT_EINPUT, "job.ini", 13, 1,
     "not for this kind: 'length', it belongs to a straightedge or a bar"},
    {"job/length-of-an-edge-of-zero", BT_EINPUT, "job.ini", 13, 10,
     "length must be more than 0, such as 1.5 mm or 1/16 in: '0'"},
    {"job/length-without-unit", BT_EINPUT, "job.ini", 2, 10,
     "a number without a unit: '1200', write a number with a unit such as 12.5 mm or "
     "17 7/8 in"},
    {"job/level-neither-yes-nor-no", BT_EINPUT, "job.ini", 13, 9,
     "unknown value of level: 'maybe', write one of no, yes"},
    {"job/level-uncertainty-in-mm", BT_EINPUT, "job.ini", 13, 10,
     "a length, not a slope: '0.02 mm', write a number with a unit such as 0.4 mm/m or "
     "0.02 deg"},
    {"job/limit-zero", BT_EINPUT, "job.ini", 12, 7,
     "cup must be more than 0, such as 1.5 mm or 1/16 in: '0'"},
    {"job/line-end-missing", BT_EINPUT, "lines.csv", 2, 8,
     "an end is missing: write a corner or `x y`"},
    {"job/line-end-no-place", BT_EINPUT, "lines.csv", 2, 8,
     "no place: '1200 mm', write a corner or two lengths as `300 mm 25 mm`"},
    {"job/line-end-outside-panel", BT_EINPUT, "lines.csv", 2, 8,
     "outside the panel: '1300 mm 0 mm', x, along the panel, is 0 to 1200 mm (and up "
     "to 2 mm beyond)"},
    {"job/line-end-without-unit", BT_EINPUT, "lines.csv", 2, 8,
     "no unit known for bare numbers: '1200 0', write it after x and after y, or state "
     "units in [job]"},
    {"job/line-twice", BT_EINPUT, "lines.csv", 3, 1,
     "a line twice: 'back' is line 2 of this file already"},
    {"job/line-without-length", BT_EINPUT, "lines.csv", 2, 8,
     "a line without length: 'back' ends where it begins"},
    {"job/line-without-name", BT_EINPUT, "lines.csv", 3, 1,
     "the line has no name: give it one"},
    {"job/lines-column-missing", BT_EINPUT, "lines.csv", 1, 1,
     "no column 'to': the header is line,from,to"},
    {"job/link-leaves-folder", BT_EINPUT, "job.ini", 9, 9,
     "a link that leads out of the job folder: 'readings.csv', put the file into the "
     "job folder and name it there"},
    {"job/local-limit-letters", BT_EINPUT, "job.ini", 12, 20,
     "not a length: 'foot', write a number with a unit such as 12.5 mm or 17 7/8 in"},
    {"job/local-limit-without-span", BT_EINPUT, "job.ini", 12, 9,
     "not a gap over a span: '0.4 mm', write it as 0.4 mm per 300 mm"},
    {"job/moisture-letters", BT_EINPUT, "job.ini", 10, 12,
     "not a percentage: 'dry', write a number with a unit such as 45 %"},
    {"job/moisture-of-bottom-out-of-range", BT_EINPUT, "job.ini", 10, 19,
     "moisture_bottom must be 0 % to 250 %: '260 %'"},
    {"job/moisture-of-top-out-of-range", BT_EINPUT, "job.ini", 10, 16,
     "moisture_top must be 0 % to 250 %: '260 %'"},
    {"job/no-line-read-at-two-places", BT_EINPUT, "job.ini", 8, 1,
     "no line or set-up is read at two places yet: 'first', type what you read into "
     "readings.csv"},
    {"job/no-readings-section", BT_EINPUT, "job.ini", 0, 0,
     "no readings: write a section [readings NAME] with files = NAME.csv"},
    {"job/no-such-file", BT_ENOFILE, "job.ini", 9, 9,
     "reading.csv: there is no such file: put it into the job folder, or name the one "
     "that is there"},
    {"job/nothing-tells-uncertainty", BT_EINPUT, "readings.csv", 2, 1,
     "nothing tells how sure this gap is: no number is typed, write what went and what "
     "did not as paper..card, a column u_mm, or u of the instrument"},
    {"job/overlapping-set-names", BT_EINPUT, "job.ini", 11, 11,
     "overlapping set names: 'First' is too like 'first' of line 8, call it something "
     "else"},
    {"job/panel-length-zero", BT_EINPUT, "job.ini", 5, 10,
     "length must be more than 0, such as 1.5 mm or 1/16 in: '0'"},
    {"job/panel-width-negative", BT_EINPUT, "job.ini", 6, 9,
     "width must be more than 0, such as 1.5 mm or 1/16 in: '-600'"},
    {"job/path-leaves-folder", BT_EINPUT, "job.ini", 9, 23,
     "a path that leaves the job folder: '../readings.csv', put the file into the job "
     "folder and name it there"},
    {"job/point-outside-panel", BT_EINPUT, "readings.csv", 4, 6,
     "outside the panel: '1210', x, along the panel, is 0 to 1200 mm (and up to 2 mm "
     "beyond)"},
    {"job/same-point-negative", BT_EINPUT, "job.ini", 3, 14,
     "same_point must not be below 0: '-1'"},
    {"job/section-with-a-name-too-many", BT_EINPUT, "job.ini", 4, 8,
     "a name too many: 'top', write [panel]"},
    {"job/set-without-files", BT_EINPUT, "job.ini", 8, 1,
     "a set without files: 'first', write files = NAME.csv"},
    {"job/set-without-name", BT_EINPUT, "job.ini", 8, 2,
     "a section without its name: 'readings', write [readings NAME]"},
    {"job/temperature-out-of-range", BT_EINPUT, "job.ini", 10, 15,
     "temperature must be -50 C to 60 C: '70 C'"},
    {"job/temperature-without-unit", BT_EINPUT, "job.ini", 10, 15,
     "a number without a unit: '70', write a number with a unit such as 21 C or 70 F"},
    {"job/unknown-corner", BT_EINPUT, "lines.csv", 2, 8,
     "unknown corner: 'E', corners are A, B, C, D, mid-sides AB, BC, CD, DA, other "
     "places `x y`"},
    {"job/unknown-instrument", BT_EINPUT, "job.ini", 10, 14,
     "unknown instrument: 'stel edge', did you mean 'steel edge'?"},
    {"job/unknown-key", BT_EINPUT, "job.ini", 6, 1,
     "unknown key in [panel]: 'widht', did you mean 'width'?"},
    {"job/unknown-kind-of-instrument", BT_EINPUT, "job.ini", 12, 8,
     "unknown value of kind: 'ruler', write one of straightedge, feelers, dial, bar, "
     "level, sticks, square, angle gauge"},
    {"job/unknown-line", BT_EINPUT, "readings.csv", 3, 1,
     "a line that is not in lines.csv: 'bakc', did you mean 'back'?"},
    {"job/unknown-section", BT_EINPUT, "job.ini", 11, 2,
     "unknown section: 'limit', did you mean 'limits'?"},
    {"job/unknown-units", BT_EINPUT, "job.ini", 2, 9,
     "unknown value of units: 'cm', write one of mm, in"},
    {"job/unknown-use", BT_EINPUT, "job.ini", 12, 7,
     "unknown use: 'tabel top', write one of table top, bench top, counter, seat, "
     "shelf, "
     "door, or limits of your own"},
    {"job/supports-beyond-the-panel", BT_EINPUT, "job.ini", 10, 17,
     "a support beyond the panel: '1300', x, along the panel, is 0 to 1200 mm"},
    {"job/supports-beyond-the-panel-across", BT_EINPUT, "job.ini", 10, 14,
     "a support beyond the panel: '-5', y, across the panel, is 0 to 600 mm"},
    {"job/supports-in-words", BT_EINPUT, "job.ini", 10, 12,
     "unknown supports: 'three battens', write flat bench, on edge, where battens lie "
     "across it as 300 mm, 1200 mm (from the left end), or where rails lie along it as "
     "y 100 mm, 600 mm (from the back edge)"},
    {"job/supports-letters-among-places", BT_EINPUT, "job.ini", 10, 12,
     "unknown supports: '300 mm, end', write flat bench, on edge, where battens lie "
     "across it as 300 mm, 1200 mm (from the left end), or where rails lie along it as "
     "y 100 mm, 600 mm (from the back edge)"},
    {"job/supports-not-a-number", BT_EINPUT, "job.ini", 10, 19,
     "not a length: '12x', write a number with a unit such as 12.5 mm or 17 7/8 in"},
    {"job/supports-one-only", BT_EINPUT, "job.ini", 10, 12,
     "one support only: '600 mm', the panel would tip over, name two or more"},
    {"job/supports-on-one-side", BT_EINPUT, "job.ini", 10, 12,
     "supports on one side of the middle: '0, 400', the panel would tip over"},
    {"job/supports-twice", BT_EINPUT, "job.ini", 10, 22,
     "a support twice: '300 mm', name it once"},
    {"job/supports-too-many", BT_EINPUT, "job.ini", 10, 91,
     "more than 16 supports: '1010', write flat bench"},
    {"job/supports-without-place", BT_EINPUT, "job.ini", 10, 16,
     "a support without its place: '', one comma too many"},
    {"job/own-hollow-u-alone", BT_EINPUT, "job.ini", 12, 1,
     "own_hollow_u without own_hollow: '0.01', write own_hollow as well"},
};

Test(job_faults, each_bad_job_gives_its_fault_and_no_other)
{
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++)
        expect_fault(&rows[i]);
}
