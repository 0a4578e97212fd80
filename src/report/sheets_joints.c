/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Sheets for the checks of the fence and for joints laid together dry. */
#include <math.h>

#include "report/sheets_build.h"

static const char *rule(struct sheets_build *build, const char *before, double mm)
{
    char text[BT_PRINT_ROOM];

    return kept_say(
        &build->kept, "%s%s", before,
        bt_print_length_bare(text, mm, 0, build->job->system, BT_LENGTH_RULE));
}

/* ---- the fence ---- */

static const char *const fence_blanks[] = {"date", "read by", "fence set since"};

/* Stations along the fence: near its ends and at the cutter. */
enum { STATIONS = 3, OFFCUTS = 2 };

static void add_square(struct sheets_build *build)
{
    static const char *const place[STATIONS] = {"infeed end", "cutter", "outfeed end"};

    sheets_block(build, "Square on the table against the fence",
                 "It touches at one end: the gap at the other end, how far along the "
                 "blade that is from where it touches, and where light is seen.");
    for (int i = 0; i < STATIONS; i++) {
        sheets_box(build, kept_say(&build->kept, "station, %s", place[i]), "station");
        sheets_box(build, "gap", "gap");
        sheets_box(build, "height of the gap", "height");
        sheets_box(build, "open at (top, bottom)", "open_at");
        sheets_box(build, "which square", "instrument");
        sheets_box(build, "note", "note");
    }
}

static void add_doubled(struct sheets_build *build)
{
    sheets_block(build, "Two offcuts, the same face to the fence, put edge to edge",
                 "Those faces up, a straightedge over both: the gap at the joint, how "
                 "wide the offcuts are, and at which faces it is hollow.");
    for (int i = 0; i < OFFCUTS; i++) {
        sheets_box(build, "width of the first", "width");
        sheets_box(build, "width of the second", "width2");
        sheets_box(build, "gap", "gap");
        sheets_box(build, "hollow at (fence, other)", "hollow_at");
        sheets_box(build, "station", "station");
        sheets_box(build, "note", "note");
    }
}

static void add_gauge(struct sheets_build *build)
{
    sheets_block(
        build, "Angle gauge between table and fence, read both ways round",
        "Set to zero on the table, laid against the fence, then turned end for "
        "end: the whole angle, near 90.");
    for (int i = 0; i < OFFCUTS; i++) {
        sheets_box(build, "station", "station");
        sheets_box(build, "reading", "reading");
        sheets_box(build, "turned", "turned");
    }
}

void sheets_fence(struct sheets_build *build)
{
    sheets_begin(build,
                 &(struct bt_sheet){
                     .title = "Checks of the jointer's fence",
                     .intro = "Stations are counted from the infeed end of the fence. "
                              "The machine is off and its cutter still.",
                     .file = "One row a check in fence.csv; the small word in a box is "
                             "its column.",
                     .nblank = sizeof fence_blanks / sizeof *fence_blanks,
                     .blank = fence_blanks});
    add_square(build);
    add_doubled(build);
    add_gauge(build);
}

/* ---- joints laid together dry ---- */

static const char *const dry_blanks[] = {"date", "read by", "show face up (yes, no)"};

/* Both ends and the middle. */
enum { PLACES = 3 };

static double length_of(const struct bt_job *job, size_t joint)
{
    const double here = job->board[joint].length, next = job->board[joint + 1].length;
    const double length = fmin(isnan(here) ? next : here, isnan(next) ? here : next);

    return isnan(length) ? job->panel.length : length;
}

static void add_joint(struct sheets_build *build, size_t joint)
{
    const struct bt_job *job = build->job;
    const double length = length_of(job, joint);

    sheets_block(build,
                 kept_say(&build->kept, "Joint %s|%s", job->board[joint].name,
                          job->board[joint + 1].name),
                 "");
    for (int i = 0; i < PLACES; i++) {
        static const char *const place[PLACES] = {"left end", "middle", "right end"};
        const char *at =
            isnan(length) ? place[i] : rule(build, "at ", length * i / (PLACES - 1));

        sheets_box(build, kept_say(&build->kept, "%s, show face", at), "show_gap");
        sheets_box(build, kept_say(&build->kept, "%s, other face", at), "other_gap");
    }
}

enum bt_status sheets_dry_fit(struct sheets_build *build, struct bt_error *err)
{
    if (build->job->nboard < 2)
        return bt_error_set(
            err, BT_EINPUT, 0, 0,
            "there is no joint to lay together: name two boards or more "
            "in boards.csv");
    sheets_begin(
        build,
        &(struct bt_sheet){
            .title = "Joints laid together dry",
            .intro =
                "Boards pushed together by hand on a flat bench, without clamps. "
                "Write the gap at both faces: two leaves as 0.05..0.10 (the first "
                "went, the second did not), < and a leaf where not even that went.",
            .file = "One row a place in dryfit.csv, with the joint's name; the small "
                    "word in a box is its column.",
            .nblank = sizeof dry_blanks / sizeof *dry_blanks,
            .blank = dry_blanks});
    for (size_t i = 0; i + 1 < build->job->nboard; i++)
        add_joint(build, i);
    return BT_OK;
}
