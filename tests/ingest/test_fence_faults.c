/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <criterion/criterion.h>

#include "jobdir.h"

/* One row a job under tests/bad/fence. */
static const struct fault_row rows[] = {
    {"fence/against-grain-neither", BT_EINPUT, "job.ini", 9, 17,
     "unknown value of against_grain: 'some', write one of no, yes"},
    {"fence/angle-as-deviation", BT_EINPUT, "fence.csv", 2, 17,
     "not the angle but how far it is off 90: '0.1', type the whole angle between "
     "table and fence where the board runs: 90.1 deg where the fence leans away from "
     "it, 89.9 deg where it leans over it"},
    {"fence/angle-as-minus-deviation", BT_EINPUT, "fence.csv", 2, 17,
     "not the angle but how far it is off 90: '-0.25', type the whole angle between "
     "table and fence where the board runs: 90.25 deg where the fence leans away from "
     "it, 89.75 deg where it leans over it"},
    {"fence/angle-in-a-square-row", BT_EINPUT, "fence.csv", 2, 26,
     "a cell of another kind of check: '90.1', reading belongs to a row of kind angle"},
    {"fence/angle-in-letters", BT_EINPUT, "fence.csv", 2, 17,
     "not an angle: 'square', write a number with a unit such as 0.25 deg"},
    {"fence/angle-in-mm", BT_EINPUT, "fence.csv", 1, 14,
     "unit of another kind: 'reading_mm', write reading_UNIT with one of deg, rad"},
    {"fence/angle-of-0", BT_EINPUT, "fence.csv", 2, 17,
     "not the angle but how far it is off 90: '0', type the whole angle, 90 where it "
     "is square"},
    {"fence/angle-of-170-degrees", BT_EINPUT, "fence.csv", 2, 22,
     "an angle of 170 deg: '170', a fence stands near 90: type the whole angle that "
     "the gauge shows, as 89.8 or 90.3"},
    {"fence/angle-of-9-degrees", BT_EINPUT, "fence.csv", 2, 17,
     "an angle of 9 deg: '9', a fence stands near 90: type the whole angle that the "
     "gauge shows, as 89.8 or 90.3"},
    {"fence/angle-without-unit", BT_EINPUT, "fence.csv", 1, 14,
     "no unit known for bare numbers: 'reading', write reading_deg"},
    {"fence/cell-of-another-kind", BT_EINPUT, "fence.csv", 2, 23,
     "a cell of another kind of check: '80', width belongs to a row of kind doubled"},
    {"fence/cutter-off-the-fence", BT_EINPUT, "job.ini", 10, 10,
     "a cutter off the fence: '901', the fence is 900 mm long"},
    {"fence/feed-unknown", BT_EINPUT, "job.ini", 9, 8,
     "unknown value of feed: 'leftwards', write one of right to left, left to right"},
    {"fence/fence-is-a-folder", BT_ENOFILE, "fence.csv", 0, 0,
     "is a folder, not a file"},
    {"fence/gap-column-missing", BT_EINPUT, "fence.csv", 2, 1,
     "no column 'gap': a check of kind square needs it"},
    {"fence/gap-in-an-angle-row", BT_EINPUT, "fence.csv", 2, 12,
     "a cell of another kind of check: '0.1', gap belongs to a row of kind square or "
     "doubled"},
    {"fence/gap-larger-than-believed", BT_EINPUT, "fence.csv", 2, 15,
     "a fence more than 10 deg out of square: '20', are the units of the gap and of "
     "its place right?"},
    {"fence/gap-larger-than-the-offcut", BT_EINPUT, "fence.csv", 2, 11,
     "a fence more than 10 deg out of square: '12', are the units of the gap and of "
     "its place right?"},
    {"fence/gap-negative", BT_EINPUT, "fence.csv", 2, 15,
     "a negative gap: '-0.1', write 0 where the feelers touch"},
    {"fence/gap-of-names-alone", BT_EINPUT, "fence.csv", 2, 1,
     "nothing tells how sure this gap is: no number is typed, write what went and what "
     "did not as paper..card, a column u_mm, or u of the instrument"},
    {"fence/gauge-uncertainty-without-unit", BT_EINPUT, "job.ini", 10, 5,
     "a number without a unit: '0.1', write a number with a unit such as 0.25 deg"},
    {"fence/height-above-the-fence", BT_EINPUT, "fence.csv", 2, 12,
     "a height above the fence: '120', the fence is 100 mm high"},
    {"fence/height-column-missing", BT_EINPUT, "fence.csv", 2, 1,
     "height is missing: type how far along the blade the gap is from where it "
     "touches"},
    {"fence/height-missing", BT_EINPUT, "fence.csv", 2, 12,
     "height is missing: type how far along the blade the gap is from where it "
     "touches"},
    {"fence/height-zero", BT_EINPUT, "fence.csv", 2, 12,
     "height must be more than 0, such as 40 mm or 1 1/2 in: '0'"},
    {"fence/hollow-at-missing", BT_EINPUT, "fence.csv", 2, 20,
     "hollow_at is missing: type which face is hollow, fence face or other face"},
    {"fence/hollow-at-unknown", BT_EINPUT, "fence.csv", 2, 20,
     "unknown value of hollow_at: 'fence', write one of fence face, other face"},
    {"fence/instrument-does-not-fit", BT_EINPUT, "fence.csv", 2, 19,
     "an instrument that does not give such readings: 'gauge', see its kind in "
     "job.ini"},
    {"fence/instrument-unknown", BT_EINPUT, "fence.csv", 2, 19,
     "unknown instrument: 'try sqare', did you mean 'try square'?"},
    {"fence/kind-column-missing", BT_EINPUT, "fence.csv", 1, 1,
     "no column 'kind': each row says square, doubled or angle"},
    {"fence/kind-missing", BT_EINPUT, "fence.csv", 2, 1,
     "kind is missing: write one of square, doubled, angle"},
    {"fence/kind-unknown", BT_EINPUT, "fence.csv", 2, 1,
     "unknown value of kind: 'sqare', write one of square, doubled, angle"},
    {"fence/no-unit", BT_EINPUT, "fence.csv", 1, 6,
     "no unit known for bare numbers: 'height', write height_in or height_mm"},
    {"fence/open-at-missing", BT_EINPUT, "fence.csv", 2, 19,
     "open_at is missing: type where the gap is seen, top or bottom"},
    {"fence/open-at-unknown", BT_EINPUT, "fence.csv", 2, 19,
     "unknown value of open_at: 'tpo', write one of top, bottom"},
    {"fence/pattern-unknown", BT_EINPUT, "job.ini", 9, 11,
     "unknown value of pattern: 'alternate', write one of same face, alternate boards, "
     "in and out, best"},
    {"fence/scatter-in-mm", BT_EINPUT, "job.ini", 9, 16,
     "a length, not an angle: '0.05 mm', write a number with a unit such as 0.25 deg"},
    {"fence/scatter-too-large", BT_EINPUT, "job.ini", 9, 11,
     "scatter must be more than 0 and at most 10 deg: '11 deg'"},
    {"fence/square-uncertainty-in-mm", BT_EINPUT, "job.ini", 10, 10,
     "a length, not a slope: '0.02 mm', write a number with a unit such as 0.4 mm/m or "
     "0.02 deg"},
    {"fence/station-before-the-fence", BT_EINPUT, "fence.csv", 2, 8,
     "a station off the fence: '-5', stations count from the infeed end, which is 0"},
    {"fence/station-beyond-any-fence", BT_EINPUT, "fence.csv", 3, 8,
     "a station that is not believed: '9000', no fence is longer than 5 m (197 in): is "
     "the unit right?"},
    {"fence/station-in-letters", BT_EINPUT, "fence.csv", 2, 8,
     "not a length: 'middle', write a number with a unit such as 12.5 mm or 17 7/8 in"},
    {"fence/station-off-the-fence", BT_EINPUT, "fence.csv", 3, 8,
     "a station off the fence: '950', the fence is 900 mm long"},
    {"fence/too-many-checks", BT_EINPUT, "fence.csv", 402, 1,
     "more than 400 checks: leave the rest out"},
    {"fence/turned-alone", BT_EINPUT, "fence.csv", 2, 17,
     "reading is missing: one that was read one way only is typed here, not under "
     "turned"},
    {"fence/uncertainty-of-another-kind", BT_EINPUT, "fence.csv", 2, 12,
     "a cell of another kind of check: '0.1', u of a length belongs to a row of kind "
     "square or doubled"},
    {"fence/uncertainty-zero", BT_EINPUT, "fence.csv", 2, 12,
     "an uncertainty that is not more than 0: '0', leave the cell empty where none is "
     "known"},
    {"fence/unknown-column", BT_EINPUT, "fence.csv", 1, 25,
     "unknown column: 'opens', did you mean 'open_at'? Columns of checks of a fence "
     "are kind, station, height, gap, open_at, width, width2, hollow_at, reading, "
     "turned, instrument, u, u_deg and note"},
    {"fence/unknown-key", BT_EINPUT, "job.ini", 9, 1,
     "unknown key in [fence]: 'lenght', did you mean 'length'?"},
    {"fence/which-square", BT_EINPUT, "fence.csv", 2, 19,
     "instrument is missing: job.ini declares more than one square, name the one that "
     "was used"},
    {"fence/width-missing", BT_EINPUT, "fence.csv", 2, 16,
     "width is missing: type how wide the offcut is (and width2 where the other "
     "differs)"},
    {"fence/width-zero", BT_EINPUT, "fence.csv", 2, 16,
     "width must be more than 0, such as 40 mm or 1 1/2 in: '0'"},
    {"fence/width2-zero", BT_EINPUT, "fence.csv", 2, 19,
     "width2 must be more than 0, such as 40 mm or 1 1/2 in: '0'"},
};

Test(fence_faults, each_bad_check_or_fence_gives_its_fault_and_no_other)
{
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++)
        expect_fault(&rows[i]);
}
