/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <criterion/criterion.h>

#include <stdio.h>
#include <string.h>

#include "benchtrue/joint/glue.h"
#include "jobdir.h"

/* One row a job under tests/bad/glue and dryfit. */
static const struct fault_row rows[] = {
    {"dryfit/boards-at-fault", BT_EINPUT, "boards.csv", 3, 3,
     "width must be more than 0, such as 40 mm or 1 1/2 in: '0'"},
    {"dryfit/gap-columns-missing", BT_EINPUT, "dryfit.csv", 1, 1,
     "no column 'show_gap': a dry fit has joint,at and show_gap, other_gap or both"},
    {"dryfit/gap-in-letters", BT_EINPUT, "dryfit.csv", 2, 5,
     "a feeler that nothing defines: 'tight', define it under [feelers] in the job.ini "
     "of its folder, or write 0 (touches), 0.30, 0.25..0.30 (the first "
     "went, the second did not), <0.05 (nothing went) or paper+card"},
    {"dryfit/instrument-does-not-fit", BT_EINPUT, "dryfit.csv", 2, 9,
     "an instrument that does not give such readings: 'edge', see its kind in job.ini"},
    {"dryfit/joint-as-a-date", BT_EINPUT, "dryfit.csv", 2, 1,
     "a date: '02-Mar', a spreadsheet made it of two boards such as 2-3: write 2|3"},
    {"dryfit/joint-column-missing", BT_EINPUT, "dryfit.csv", 1, 1,
     "no column 'joint': a dry fit has joint,at and show_gap, other_gap or both"},
    {"dryfit/joint-missing", BT_EINPUT, "dryfit.csv", 2, 1,
     "joint is missing: type its number from the back edge, or the two boards as 2|3"},
    {"dryfit/joint-of-an-unknown-board", BT_EINPUT, "dryfit.csv", 2, 1,
     "no such joint: '2|4', joints are 1 to 2 from the back edge, or the two boards as "
     "2|3"},
    {"dryfit/joint-of-boards-apart", BT_EINPUT, "dryfit.csv", 2, 1,
     "no joint between them: '1|3', the two boards are not neighbours in the table of "
     "boards"},
    {"dryfit/joint-that-is-none", BT_EINPUT, "dryfit.csv", 2, 1,
     "no such joint: '3', joints are 1 to 2 from the back edge, or the two boards as "
     "2|3"},
    {"dryfit/joint-the-only-one", BT_EINPUT, "dryfit.csv", 2, 1,
     "no such joint: '2', the only one is 1"},
    {"dryfit/joint-zero", BT_EINPUT, "dryfit.csv", 2, 1,
     "no such joint: '0', joints are 1 to 2 from the back edge, or the two boards as "
     "2|3"},
    {"dryfit/names-alone", BT_EINPUT, "dryfit.csv", 2, 1,
     "nothing tells how sure this gap is: no number is typed, write what went and what "
     "did not as paper..card, a column u_mm, or u of the instrument"},
    {"dryfit/no-boards", BT_EINPUT, "dryfit.csv", 1, 1,
     "no joint known: a dry fit needs two boards or more in boards.csv, or joints in "
     "[boards]"},
    {"dryfit/place-before-the-end", BT_EINPUT, "dryfit.csv", 2, 3,
     "beyond the end of the joint: '-1', places count from the left end, which is 0"},
    {"dryfit/place-beyond-the-board", BT_EINPUT, "dryfit.csv", 3, 3,
     "beyond the end of the joint: '1000', it is 950 mm long"},
    {"dryfit/place-beyond-the-panel", BT_EINPUT, "dryfit.csv", 2, 3,
     "beyond the end of the joint: '1201', it is 1200 mm long"},
    {"dryfit/place-missing", BT_EINPUT, "dryfit.csv", 2, 3,
     "at is missing: type how far from the left end the gap was read"},
    {"dryfit/uncertainty-zero", BT_EINPUT, "dryfit.csv", 2, 9,
     "an uncertainty that is not more than 0: '0', leave the cell empty where none is "
     "known"},
    {"dryfit/unknown-column", BT_EINPUT, "dryfit.csv", 1, 10,
     "unknown column: 'gap', did you mean 'at'? Columns of a dry fit are joint, at, "
     "show_gap, other_gap, instrument, u and note"},
    {"glue/clamp-count-in-letters", BT_EINPUT, "job.ini", 9, 9,
     "not a number: 'six', write a number such as 3 or 0.25"},
    {"glue/clamp-count-missing", BT_EINPUT, "job.ini", 8, 1,
     "a clamp without its count: 'bar', write count = how many of them you own"},
    {"glue/clamp-count-zero", BT_EINPUT, "job.ini", 9, 9,
     "count must be a whole number, 1 to 1000, such as 6: '0'"},
    {"glue/clamp-force-without-unit", BT_EINPUT, "job.ini", 10, 9,
     "a number without a unit: '3000', write a number with a unit such as 1050 lbf or "
     "4.7 kN"},
    {"glue/clamp-force-zero", BT_EINPUT, "job.ini", 10, 9,
     "force must be more than 0 and at most 100 kN, such as 3.5 kN or 800 lbf: '0 N'"},
    {"glue/clamp-force-larger-than-believed", BT_EINPUT, "job.ini", 11, 9,
     "force must be more than 0 and at most 100 kN, such as 3.5 kN or 800 lbf: "
     "'350 kN'"},
    {"glue/clamp-pad-larger-than-believed", BT_EINPUT, "job.ini", 11, 7,
     "pad must be 0 to 300 mm, such as 40 mm or 1 1/2 in: '400'"},
    {"glue/clamp-offset-negative", BT_EINPUT, "job.ini", 10, 10,
     "offset must not be below 0: '-5'"},
    {"glue/clamp-without-name", BT_EINPUT, "job.ini", 8, 2,
     "a section without its name: 'clamp', write [clamp NAME]"},
    {"glue/joints-not-whole", BT_EINPUT, "job.ini", 9, 10,
     "joints must be a whole number, 1 to 1000, such as 6: '2.5'"},
    {"glue/open-time-without-unit", BT_EINPUT, "job.ini", 9, 13,
     "a number without a unit: '5', write minutes as 20 min or hours as 2 h"},
    {"glue/open-time-zero", BT_EINPUT, "job.ini", 9, 13,
     "open_time must be more than 0, such as 20 min or 2 h: '0 min'"},
    {"glue/pressure-zero", BT_EINPUT, "job.ini", 9, 12,
     "pressure must be more than 0, such as 1 MPa or 150 psi: '0 psi'"},
    {"glue/temperature-out-of-range", BT_EINPUT, "job.ini", 9, 15,
     "temperature must be -50 C to 60 C: '70 C'"},
    {"glue/unknown-key", BT_EINPUT, "job.ini", 9, 1,
     "unknown key in [glue]: 'opentime', did you mean 'open_time'?"},
};

Test(glueup_faults, each_bad_glue_up_gives_its_fault_and_no_other)
{
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++)
        expect_fault(&rows[i]);
}

Test(glueup_faults, an_unknown_kind_of_glue_is_answered_with_all_that_are_known)
{
    char want[480] = "unknown kind of glue: 'pva', write one of ";
    const struct fault_row row = {
        "glue/kind-unknown", BT_EINPUT, "job.ini", 9, 8, want};

    cr_assert_geq(bt_glue_count(), 3);
    for (size_t i = 0; i < bt_glue_count(); i++)
        snprintf(want + strlen(want), sizeof want - strlen(want), "%s%s", i ? ", " : "",
                 bt_glue_at(i)->name);
    expect_fault(&row);
}
