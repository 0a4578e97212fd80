/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The sheet for the space that the piece goes into. */
#include <math.h>

#include "report/sheets_build.h"

enum { STATIONS = 5, DEPTHS = 3 };

static const char *const blanks[] = {"date",
                                     "read by",
                                     "room, which wall is the back",
                                     "air, humidity %",
                                     "air, how warm",
                                     "straight batten, how long"};

/* Where along a wall, where its length is known from the panel; else to be filled in.
 */
static const char *station(struct sheets_build *build, double length, int i)
{
    char text[BT_PRINT_ROOM];

    if (isnan(length))
        return kept_say(&build->kept, "at ............, gap");
    return kept_say(&build->kept, "at %s or ........., gap",
                    bt_print_length_bare(text, length * i / (STATIONS - 1), 0,
                                         build->job->system, BT_LENGTH_RULE));
}

static void add_wall(struct sheets_build *build, const char *wall, double length)
{
    sheets_block(build,
                 kept_say(&build->kept, "Straight batten along the %s wall", wall), "");
    for (int i = 0; i < STATIONS; i++)
        sheets_box(build, station(build, length, i),
                   kept_say(&build->kept, "offset, %s", wall));
}

static void add_sides(struct sheets_build *build)
{
    static const char *const side[] = {"back", "left", "right", "front"};
    static const char *const diagonal[] = {"AC", "BD"};
    static const char *const corner[] = {"A", "B", "C", "D"};

    sheets_block(build, "Sides and diagonals, corner to corner",
                 "A back left, B back right, C front right, D front left. Both "
                 "diagonals: one checks the other.");
    for (int i = 0; i < 4; i++)
        sheets_box(build, side[i], kept_say(&build->kept, "side, %s", side[i]));
    for (int i = 0; i < 2; i++)
        sheets_box(build, diagonal[i],
                   kept_say(&build->kept, "diagonal, %s", diagonal[i]));
    sheets_block(build, "Wall to wall, square to the back wall", "");
    for (int i = 0; i < DEPTHS; i++)
        sheets_box(build, "at ............, width", "width");
    for (int i = 0; i < DEPTHS; i++)
        sheets_box(build, "at ............, depth", "depth");
    sheets_block(build, "Inside angles, where a bevel or an angle gauge fits", "");
    for (int i = 0; i < 4; i++)
        sheets_box(build, kept_say(&build->kept, "corner %s", corner[i]),
                   kept_say(&build->kept, "angle, %s", corner[i]));
}

void sheets_opening(struct sheets_build *build)
{
    const struct bt_panel *panel = &build->job->panel;

    sheets_begin(
        build,
        &(struct bt_sheet){
            .title = "The space that it goes into",
            .intro =
                "At the height at which the piece will lie. A wall is a curve: "
                "hold a straight batten along it, and write the gap between batten "
                "and wall, - where the wall pushes the batten away.",
            .file =
                "One row a reading in opening.csv; the small words in a box are its "
                "kind and where.",
            .nblank = sizeof blanks / sizeof *blanks,
            .blank = blanks});
    add_sides(build);
    add_wall(build, "back", panel->length);
    add_wall(build, "left", panel->width);
    add_wall(build, "right", panel->width);
}
