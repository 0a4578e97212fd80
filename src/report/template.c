/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/report/template.h"

#include <math.h>
#include <string.h>

#include "benchtrue/judge/limits.h"
#include "benchtrue/report/save.h"

/* An invented panel that the maker corrects: 1200 x 600 x 25 mm, 48 x 24 x 1 in. */
static const double example_mm[3] = {1200, 600, 25};
static const double example_in[3] = {48 * 25.4, 24 * 25.4, 25.4};

struct size {
    double length, width, thickness; /* mm; thickness may be NaN */
    bool example;
};

enum direction { ALONG, ACROSS, DIAGONAL };

struct line {
    const char *name, *from, *to;
    enum direction direction;
};

/* Walking order: round the edges, over a diagonal, across the middle, over the other
 * diagonal, and along the middle.  A name with corners in it starts at its first. */
static const struct line lines[] = {
    {"back edge", "A", "B", ALONG},       {"right end", "B", "C", ACROSS},
    {"front edge", "C", "D", ALONG},      {"left end", "D", "A", ACROSS},
    {"diagonal A-C", "A", "C", DIAGONAL}, {"centre across", "CD", "AB", ACROSS},
    {"diagonal B-D", "B", "D", DIAGONAL}, {"centre along", "DA", "BC", ALONG},
};
enum { LINES = sizeof lines / sizeof *lines, PLACES = 5 };

static struct size size_of(const struct bt_template *what)
{
    const double *example = what->system == BT_SYSTEM_MM ? example_mm : example_in;
    struct size size = {what->length, what->width, what->thickness, false};

    size.example = isnan(size.length) || isnan(size.width);
    if (isnan(size.thickness) && isnan(size.length) && isnan(size.width))
        size.thickness = example[2];
    if (isnan(size.length))
        size.length = example[0];
    if (isnan(size.width))
        size.width = example[1];
    return size;
}

static const char *unit_of(const struct bt_template *what)
{
    return bt_length_unit_name(what->system, BT_LENGTH_RULE);
}

static void add_size(struct bt_buffer *out, const char *key, double mm,
                     enum bt_system system)
{
    char text[BT_PRINT_ROOM];

    bt_buffer_format(out, "%s =%s%s\n", key, isnan(mm) ? "" : " ",
                     isnan(mm) ? ""
                               : bt_print_length(text, mm, 0, system, BT_LENGTH_RULE));
}

static void add_panel(struct bt_buffer *out, const struct bt_template *what)
{
    struct size size = size_of(what);

    bt_buffer_text(out, "[panel]\n"
                        "# length along the grain, width across it\n");
    if (size.example)
        bt_buffer_text(out, "# EXAMPLE SIZE, not yours: either start again with\n"
                            "#   benchtrue new DIR --length L --width W --thickness T\n"
                            "# or correct it here and the places in readings.csv.\n");
    add_size(out, "length", size.length, what->system);
    add_size(out, "width", size.width, what->system);
    add_size(out, "thickness", size.thickness, what->system);
    bt_buffer_text(out, "species =\n\n");
}

static void add_limits(struct bt_buffer *out, const struct bt_template *what)
{
    bool stated = what->use && *what->use;
    bool mm = what->system == BT_SYSTEM_MM;

    bt_buffer_text(out, "[limits]\n# Start from the limits of a use:");
    for (size_t i = 0; i < bt_band_count(); i++)
        bt_buffer_format(out, "%s %s", i ? "," : "", bt_band_at(i)->use);
    bt_buffer_text(out, ".\n# A line of your own replaces a limit of the use.\n");
    bt_buffer_format(out, "use =%s%s\n", stated ? " " : "", stated ? what->use : "");
    bt_buffer_format(out, "# cup = %s\n# bow = %s\n# twist = %s\n# range = %s\n",
                     mm ? "1 mm" : "1/32 in", mm ? "1.5 mm" : "1/16 in",
                     mm ? "1 mm" : "1/32 in", mm ? "2 mm" : "5/64 in");
    bt_buffer_format(out,
                     "# Gap under a straightedge, wherever one lays it:\n"
                     "# local = %s\n\n",
                     mm ? "1 mm per 600 mm" : "1/32 in per 24 in");
}

/* What the verbs edges, fence, glueup and decide ask for, out of the way until then. */
static void add_later(struct bt_buffer *out, bool mm)
{
    bt_buffer_format(
        out,
        "# The jointer's fence, for edges and fence.  Checks of it go into fence.csv:\n"
        "#   kind,station_%s,reading_deg\n"
        "#   angle,%s,90.1\n"
        "# [fence]\n# length = %s\n# height = %s\n\n",
        mm ? "mm" : "in", mm ? "450" : "18", mm ? "900 mm" : "36 in",
        mm ? "100 mm" : "4 in");
    bt_buffer_format(
        out,
        "# Glue and clamps, for glueup; one section for each kind of clamp.\n"
        "# [glue]\n# kind = yellow PVA\n# temperature = %s\n\n"
        "# [clamp bar]\n# count = 6\n# force = %s\n# opening = %s\n# pad = %s\n\n",
        mm ? "20 C" : "68 F", mm ? "3.5 kN" : "800 lbf", mm ? "900 mm" : "36 in",
        mm ? "40 mm" : "1 1/2 in");
    bt_buffer_format(out,
                     "# How thin it may become and what your machine takes, for "
                     "decide.\n"
                     "# [plan]\n# least_thickness = %s\n# machine_width = %s\n",
                     mm ? "20 mm" : "3/4 in", mm ? "500 mm" : "20 in");
}

/* The same for stock, layout, opening and movement: a section, and a file of its own
 * whose first rows are shown. */
static void add_fitting(struct bt_buffer *out, bool mm)
{
    bt_buffer_format(
        out,
        "\n# Rough boards, for stock.  They go into stock.csv:\n"
        "#   board,length_%s,width_%s,thickness_%s,cup_%s,bow_%s,twist_%s\n"
        "#   %s\n"
        "# [stock]\n# allowance = %s\n\n",
        mm ? "mm" : "in", mm ? "mm" : "in", mm ? "mm" : "in", mm ? "mm" : "in",
        mm ? "mm" : "in", mm ? "mm" : "in",
        mm ? "1,2400,150,32,1,4,1" : "1,96,6,1 1/4,1/32,3/16,1/16",
        mm ? "0.3 mm" : "1/64 in");
    bt_buffer_format(out,
                     "# Where the joints fall, for layout.  What is cut out goes into "
                     "cutouts.csv:\n"
                     "#   name,shape,x_%s,y_%s,diameter_%s\n#   cord port,circle,%s\n"
                     "# [layout]\n# trim = equal\n# narrowest = %s\n\n",
                     mm ? "mm" : "in", mm ? "mm" : "in", mm ? "mm" : "in",
                     mm ? "150,80,60" : "6,3 1/4,2 3/8", mm ? "40 mm" : "1 1/2 in");
    bt_buffer_format(out,
                     "# The space that it goes into, for opening.  It is measured in "
                     "opening.csv:\n"
                     "#   kind,where,reading_%s\n#   side,back,%s\n"
                     "# [opening]\n# front = open\n# joint = %s\n\n",
                     mm ? "mm" : "in", mm ? "1204" : "48 1/8", mm ? "2 mm" : "3/32 in");
    bt_buffer_format(
        out,
        "# The screws that hold it, for movement.  They go into fixings.csv:\n"
        "#   x_%s,y_%s,kind,slot_%s,screw_%s\n#   %s\n"
        "# [fixing]\n# fixed = centre\n\n"
        "# The air through the year, from which the moisture of the wood follows.\n"
        "# [climate]\n# driest = 30 %% at %s\n# dampest = 60 %% at %s\n"
        "# now = 45 %% at %s\n",
        mm ? "mm" : "in", mm ? "mm" : "in", mm ? "mm" : "in", mm ? "mm" : "in",
        mm ? "75,60,slot,16,5" : "3,2 1/2,slot,5/8,3/16", mm ? "21 C" : "70 F",
        mm ? "20 C" : "68 F", mm ? "20 C" : "68 F");
}

static void add_job(struct bt_buffer *out, const struct bt_template *what)
{
    bool mm = what->system == BT_SYSTEM_MM;

    bt_buffer_format(out,
                     "# A job: what is being made, and to which limits.  A line that "
                     "begins with # is a\n"
                     "# comment; a value left empty is not stated.\n\n"
                     "[job]\ntitle =\nclient =\n"
                     "# of the job, for the papers; readings have their own, below\n"
                     "# date = 2026-03-02\nunits = %s\n\n",
                     unit_of(what));
    add_panel(out, what);
    bt_buffer_text(out, "[boards]\nfile = boards.csv\n\n");
    add_limits(out, what);
    bt_buffer_format(
        out,
        "# A straightedge of your own.  straightness: how far its middle may be off "
        "its\n"
        "# ends; without the line it counts as straight.\n"
        "# [instrument straightedge]\n# kind = straightedge\n# straightness = %s\n\n"
        "[feelers]\n# what you use besides feeler leaves, measured with callipers\n"
        "# paper = %s\n# card = %s\n\n",
        mm ? "0.05 mm" : "2 thou", mm ? "0.10 mm" : "4 thou",
        mm ? "0.30 mm" : "12 thou");
    bt_buffer_text(out, "# One section for each time that the panel is read, so for a "
                        "second day:\n"
                        "# [readings second]\n# files = second-day.csv\n"
                        "# date = 2026-03-18\n"
                        "[readings first]\nfiles = readings.csv\n"
                        "# the day of these readings: by it benchtrue trend and decide "
                        "reckon\n# date = 2026-03-02\n"
                        "face = top\n# clamps = off\n"
                        "# How it lay: flat bench, on edge, or battens from the left "
                        "end:\n");
    bt_buffer_format(out, "# supports = %s\n", mm ? "300 mm, 900 mm" : "12 in, 36 in");
    bt_buffer_text(out, "# instrument = straightedge\n\n");
    add_later(out, mm);
    add_fitting(out, mm);
}

static void add_boards(struct bt_buffer *out, const struct bt_template *what)
{
    bool mm = what->system == BT_SYSTEM_MM;

    bt_buffer_text(
        out,
        "# The boards, one row each, from the back edge to the front.  Other columns "
        "that may be\n"
        "# added: thickness, taper, length, species, rings, grain (left, right), show "
        "(up, either),\n"
        "# fence (in, out, in/out, out/in), against_grain (yes, no), moisture.\n");
    bt_buffer_format(out, "board,width_%s,note\n", unit_of(what));
    bt_buffer_text(out, mm ? "# 1,104,an example row: take the # away\n# 2,98,\n"
                           : "# 1,4 1/8,an example row: take the # away\n# 2,3 7/8,\n");
}

static void add_lines(struct bt_buffer *out)
{
    bt_buffer_text(out,
                   "# Where the lines run, seen from above the face that is read:\n"
                   "#\n"
                   "#   A ---- back ---- B     length, and grain, from left to right\n"
                   "#   |                |\n"
                   "#   D ---- front --- C     AB is the middle of the back edge\n"
                   "#\n"
                   "# The places (at) of a line count from its from, which is 0.\n"
                   "line,from,to\n");
    for (size_t i = 0; i < LINES; i++)
        bt_buffer_format(out, "%s,%s,%s\n", lines[i].name, lines[i].from, lines[i].to);
}

static double line_length(const struct size *size, enum direction direction)
{
    if (direction == DIAGONAL)
        return hypot(size->length, size->width);
    return direction == ALONG ? size->length : size->width;
}

/* Down to a step that a rule shows, so that the last place is not beyond the end. */
static double place_at(double length, size_t place, enum bt_system system)
{
    double step = system == BT_SYSTEM_MM ? 0.1 : 25.4 / 64;
    double at = length * (double)place / (PLACES - 1);

    /* The allowance keeps 300 from becoming 299.9 where 300 / 0.1 falls short. */
    return floor(at / step + 1e-6) * step;
}

static void add_place_note(struct bt_buffer *out, const struct line *line, size_t place)
{
    const char *end = place == 0 ? line->from : line->to;

    if (place > 0 && place < PLACES - 1)
        bt_buffer_text(out, place == 2 ? "middle" : "");
    else
        bt_buffer_format(out, "%s %s", end[1] ? "middle of" : "corner", end);
}

static void add_readings(struct bt_buffer *out, const struct bt_template *what)
{
    struct size size = size_of(what);
    char text[BT_PRINT_ROOM];

    bt_buffer_text(
        out,
        what->system == BT_SYSTEM_MM
            ? "# Lay the straightedge on each line in turn (lines.csv says where) and "
              "write the gap under it\n"
              "# at each place: 0 where it touches, 0.25 where that leaf just goes, "
              "0.20..0.25 where the\n"
              "# first went and the second did not, <0.05 where not even that one "
              "went.\n"
            : "# Lay the straightedge on each line in turn (lines.csv says where) and "
              "write the gap under it\n"
              "# at each place: 0 where it touches, 0.010 where that leaf just goes, "
              "0.008..0.010 where the\n"
              "# first went and the second did not, <0.0015 where not even that one "
              "went.\n");
    bt_buffer_text(out,
                   "# Leave a place empty where it was not read.  The edge lies still "
                   "while one line is read.\n");
    bt_buffer_format(out, "line,at_%s,gap_%s,note\n", unit_of(what), unit_of(what));
    for (size_t i = 0; i < LINES; i++) {
        for (size_t place = 0; place < PLACES; place++) {
            double at =
                place_at(line_length(&size, lines[i].direction), place, what->system);

            bt_buffer_format(
                out, "%s,%s,,", lines[i].name,
                bt_print_length_bare(text, at, 0, what->system, BT_LENGTH_RULE));
            add_place_note(out, &lines[i], place);
            bt_buffer_text(out, "\n");
        }
    }
}

const char *bt_template_name(size_t i)
{
    static const char *const names[BT_TEMPLATE_FILES] = {"job.ini", "boards.csv",
                                                         "lines.csv", "readings.csv"};

    return names[i];
}

enum bt_status bt_template_text(const struct bt_template *what, size_t i,
                                struct bt_buffer *out)
{
    switch (i) {
    case 0:
        add_job(out, what);
        break;
    case 1:
        add_boards(out, what);
        break;
    case 2:
        add_lines(out);
        break;
    default:
        add_readings(out, what);
        break;
    }
    return bt_buffer_status(out);
}

static enum bt_status no_memory(struct bt_error *err)
{
    return bt_error_set(err, BT_ENOMEM, 0, 0, "%s", bt_status_text(BT_ENOMEM));
}

static void set_path(struct bt_buffer *path, const char *folder, size_t i)
{
    path->length = 0;
    bt_buffer_text(path, folder);
    bt_buffer_text(path, "/");
    bt_buffer_text(path, bt_template_name(i));
}

static enum bt_status write_one(const struct bt_template *what, size_t i,
                                const char *folder, struct bt_error *err)
{
    struct bt_buffer text = {0}, path = {0};
    enum bt_status status;

    set_path(&path, folder, i);
    if (path.failed || bt_template_text(what, i, &text) != BT_OK)
        status = no_memory(err);
    else
        status = bt_save_file(path.text, text.text, text.length, err);
    bt_buffer_clear(&path);
    bt_buffer_clear(&text);
    return status;
}

/* Take away the first n files, and the folder where it was made. */
static void undo(const char *folder, size_t n, bool made, struct bt_buffer *path)
{
    for (size_t i = 0; i < n; i++) {
        set_path(path, folder, i);
        bt_save_undo(path->text);
    }
    if (made)
        bt_save_undo(folder);
}

enum bt_status bt_template_write(const struct bt_template *what, const char *folder,
                                 struct bt_error *err)
{
    struct bt_buffer path = {0};
    enum bt_status status;
    size_t done = 0;
    bool made;

    /* Room for the longest path first: undoing must not need memory. */
    set_path(&path, folder, BT_TEMPLATE_FILES - 1);
    status = path.failed ? no_memory(err) : bt_save_folder(folder, &made, err);
    if (status == BT_OK) {
        for (; done < BT_TEMPLATE_FILES && status == BT_OK; done += status == BT_OK)
            status = write_one(what, done, folder, err);
        if (status != BT_OK)
            undo(folder, done, made, &path);
    }
    bt_buffer_clear(&path);
    return status;
}
