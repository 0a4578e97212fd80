/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/words.h"

#include <math.h>

const char *bt_words_shape(enum bt_figure figure, double value)
{
    bool up = value > 0;

    if (figure != BT_FIGURE_CUP && figure != BT_FIGURE_BOW && figure != BT_FIGURE_TWIST)
        return "";
    if (!(value > 0) && !(value < 0))
        return "flat";
    if (figure == BT_FIGURE_TWIST)
        return up ? "A and C high" : "B and D high";
    return up ? "crowned" : "hollow";
}

const char *bt_words_where(enum bt_figure figure)
{
    switch (figure) {
    case BT_FIGURE_CUP:
        return "across the width";
    case BT_FIGURE_BOW:
        return "along the length";
    case BT_FIGURE_TWIST:
        return "corner to corner";
    case BT_FIGURE_ZONE:
        return "between two parallel planes";
    case BT_FIGURE_LOCAL:
    case BT_FIGURE_RANGE:
    case BT_FIGURE_COUNT:
        break;
    }
    return "lowest to highest";
}

void bt_words_rule(struct bt_buffer *out, double mm, enum bt_system system)
{
    char text[BT_PRINT_ROOM];

    /* A rule laid on a panel is read to about a millimetre or 1/16 in. */
    bt_buffer_text(out, bt_print_length(text, mm, system == BT_SYSTEM_MM ? 2.0 : 0.8,
                                        system, BT_LENGTH_RULE));
}

void bt_words_place(struct bt_buffer *out, const struct bt_point *p,
                    enum bt_system system)
{
    bt_buffer_text(out, "x ");
    bt_words_rule(out, p->x, system);
    bt_buffer_text(out, ", y ");
    bt_words_rule(out, p->y, system);
}

void bt_words_count(struct bt_buffer *out, size_t n, const char *one, const char *many)
{
    bt_buffer_format(out, "%zu %s", n, n == 1 ? one : many);
}

static void add_places(struct bt_buffer *out, const struct bt_unseen *unseen,
                       const struct bt_point p[], enum bt_system system)
{
    size_t named = unseen->nmoving < 3 ? unseen->nmoving : 3;

    for (size_t i = 0; i < named; i++) {
        bt_buffer_text(out, i ? "; " : "");
        bt_words_place(out, &p[unseen->example[i]], system);
    }
    if (unseen->nmoving > named)
        bt_buffer_format(out, "; and %zu more", unseen->nmoving - named);
}

void bt_words_unseen(struct bt_buffer *out, const struct bt_unseen *unseen,
                     const struct bt_flatness *f, enum bt_system system)
{
    switch (unseen->kind) {
    case BT_UNSEEN_TWIST:
        bt_buffer_text(out, "twist");
        return;
    case BT_UNSEEN_BOW:
        bt_buffer_text(out, "bow");
        return;
    case BT_UNSEEN_CUP:
        bt_buffer_text(out, "cup");
        return;
    case BT_UNSEEN_BOWL:
        bt_buffer_text(out, "bowl (the same curve along and across)");
        return;
    case BT_UNSEEN_HINGE_X:
        bt_buffer_text(out, "a hinge along x = ");
        bt_words_rule(out, unseen->at, system);
        return;
    case BT_UNSEEN_HINGE_Y:
        bt_buffer_text(out, "a hinge along y = ");
        bt_words_rule(out, unseen->at, system);
        return;
    case BT_UNSEEN_X2Y:
        bt_buffer_text(out, "bow that changes across the width");
        return;
    case BT_UNSEEN_XY2:
        bt_buffer_text(out, "cup that changes along the length");
        return;
    case BT_UNSEEN_POINTS:
        break;
    }
    bt_buffer_text(out, unseen->nmoving == 1 ? "the height at " : "the heights at ");
    add_places(out, unseen, f->used->point, system);
}

/* Where the usual lines run. */
static const char *const usual_lines[BT_USUAL_LINES] = {
    [BT_LINE_AC] = "from A to C",
    [BT_LINE_BD] = "from B to D",
    [BT_LINE_ALONG] = "along the middle, from the left end to the right",
    [BT_LINE_ACROSS] = "across the middle, from the back edge to the front",
    [BT_LINE_BACK] = "along the back edge, from A to B",
    [BT_LINE_FRONT] = "along the front edge, from D to C",
    [BT_LINE_LEFT] = "along the left end, from A to D",
    [BT_LINE_RIGHT] = "along the right end, from B to C"};

static void add_line(struct bt_buffer *out, enum bt_usual_line line)
{
    bt_buffer_format(out, "a line %s, over places that other readings touch too",
                     usual_lines[line]);
}

void bt_words_read_this(struct bt_buffer *out, const struct bt_unseen *unseen,
                        const struct bt_flatness *f, enum bt_system system)
{
    switch (unseen->kind) {
    case BT_UNSEEN_TWIST:
        if (f->best_line.shows && f->best_line.line <= BT_LINE_BD)
            add_line(out, f->best_line.line);
        else
            bt_buffer_text(out, "both diagonals, from A to C and from B to D, with the "
                                "place where they cross");
        return;
    case BT_UNSEEN_BOW:
        bt_buffer_text(out, "a line along the length with at least three places that "
                            "other readings also touch");
        return;
    case BT_UNSEEN_CUP:
        bt_buffer_text(out, "a line across the width with at least three places that "
                            "other readings also touch");
        return;
    case BT_UNSEEN_BOWL:
        bt_buffer_text(out, "a straightedge line with at least three places that other "
                            "readings also touch, or the zero of the instrument on a "
                            "flat reference (then zero = known)");
        return;
    case BT_UNSEEN_HINGE_X:
        bt_buffer_text(out, "a line along the length that crosses x = ");
        bt_words_rule(out, unseen->at, system);
        bt_buffer_text(out,
                       ", with places that other readings also touch on both sides "
                       "of it");
        return;
    case BT_UNSEEN_HINGE_Y:
        bt_buffer_text(out, "a line across the width that crosses y = ");
        bt_words_rule(out, unseen->at, system);
        bt_buffer_text(out,
                       ", with places that other readings also touch on both sides "
                       "of it");
        return;
    case BT_UNSEEN_X2Y:
        bt_buffer_text(out,
                       "lines along the length at the back edge, the middle and the "
                       "front edge");
        return;
    case BT_UNSEEN_XY2:
        bt_buffer_text(out,
                       "lines across the width at the left end, the middle and the "
                       "right end");
        return;
    case BT_UNSEEN_POINTS:
        break;
    }
    if (f->best_line.shows) {
        add_line(out, f->best_line.line);
        if (f->best_line.shows < f->best_line.of)
            bt_buffer_text(out, " (that shows most; then ask again)");
        return;
    }
    bt_buffer_text(out,
                   "one more line through each of these places that also passes over "
                   "places which other lines read");
}

const char *bt_words_read_for(enum bt_figure figure)
{
    switch (figure) {
    case BT_FIGURE_CUP:
        return "places at the back edge, the middle and the front edge, on lines "
               "across "
               "the width";
    case BT_FIGURE_BOW:
        return "places at both ends and the middle, on lines along the length";
    case BT_FIGURE_TWIST:
        return "all four corners and the middle, on both diagonals and the edges";
    case BT_FIGURE_RANGE:
    case BT_FIGURE_ZONE:
    case BT_FIGURE_LOCAL:
    case BT_FIGURE_COUNT:
        break;
    }
    return "every place on at least two lines that cross each other";
}

void bt_words_way(struct bt_buffer *out, enum bt_edge_direction direction, double angle)
{
    static const char *const way[BT_EDGE_DIRECTIONS] = {
        "along", "across", "on diagonal AC", "on diagonal BD"};
    char text[BT_PRINT_ROOM];

    if (direction == BT_EDGE_OBLIQUE)
        bt_buffer_format(out, "oblique at %s", bt_print_angle(text, angle, 0));
    else if ((unsigned)direction < BT_EDGE_DIRECTIONS)
        bt_buffer_text(out, way[direction]);
}

static void add_local(struct bt_buffer *out, const struct bt_set_result *r,
                      const char *length, enum bt_system system)
{
    const struct bt_edge_figure *worst = bt_extremes_worst(&r->extremes, r->span[0]);

    bt_buffer_format(out, "gap %s under ", length);
    bt_words_rule(out, r->span[0], system);
    if (worst && worst->gap.value > 0) {
        bt_buffer_text(out, ", ");
        bt_words_way(out, worst->at.direction, worst->at.angle);
    }
    bt_buffer_text(out, " (local)");
}

void bt_words_figure(struct bt_buffer *out, const struct bt_set_result *r,
                     enum bt_figure figure, enum bt_system system)
{
    const struct bt_measured *m = bt_set_figure(r, figure);
    char text[BT_PRINT_ROOM];
    const char *shape;

    if (!m->seen) {
        bt_buffer_format(out, "%s not seen", bt_figure_name(figure));
        return;
    }
    bt_print_length(text, fabs(m->value), m->u, system, BT_LENGTH_FEELER);
    shape = bt_words_shape(figure, m->value);
    switch (figure) {
    case BT_FIGURE_CUP:
    case BT_FIGURE_BOW:
        bt_buffer_format(out, "%s %s %s (%s)", shape, text, bt_words_where(figure),
                         bt_figure_name(figure));
        return;
    case BT_FIGURE_TWIST:
        bt_buffer_format(out, "twist %s (%s)", text, shape);
        return;
    case BT_FIGURE_LOCAL:
        add_local(out, r, text, system);
        return;
    case BT_FIGURE_ZONE:
    case BT_FIGURE_RANGE:
    case BT_FIGURE_COUNT:
        break;
    }
    bt_buffer_format(out, "%s %s, %s", bt_figure_name(figure), text,
                     bt_words_where(figure));
}

void bt_words_confidence(struct bt_buffer *out, double share)
{
    /* percent to four decimals, of which none stands that is 0 at the end */
    const size_t nearest = (size_t)llround(share * 1e6);
    size_t whole = nearest < 1000000 ? nearest : 999999, digits = 4;

    while (digits && whole % 10 == 0) {
        whole /= 10;
        digits--;
    }
    if (digits) {
        const size_t unit = (const size_t[]){1, 10, 100, 1000, 10000}[digits];
        bt_buffer_format(out, "%zu.%0*zu %%", whole / unit, (int)digits, whole % unit);
    } else {
        bt_buffer_format(out, "%zu %%", whole);
    }
}

bool bt_words_face_known(const struct bt_flatness *f)
{
    for (size_t i = 0; i < f->used->npoint; i++)
        if (isnan(f->z[i]) || isnan(f->u[i]))
            return false;
    return f->form.cup.seen && f->form.bow.seen && f->form.twist.seen;
}

void bt_words_read_face(struct bt_buffer *out, const struct bt_flatness *f,
                        enum bt_system system)
{
    const bool seen[] = {f->form.cup.seen, f->form.bow.seen, f->form.twist.seen};
    static const enum bt_figure figure[] = {BT_FIGURE_CUP, BT_FIGURE_BOW,
                                            BT_FIGURE_TWIST};
    const char *between = "";

    for (size_t i = 0; i < f->nunseen; i++, between = "; ") {
        bt_buffer_text(out, between);
        bt_words_read_this(out, &f->unseen[i], f, system);
    }
    /* what hides a figure is named above; without, too few places were read */
    for (size_t i = 0; f->nunseen == 0 && i < 3; i++) {
        if (seen[i])
            continue;
        bt_buffer_format(out, "%s%s", between, bt_words_read_for(figure[i]));
        between = "; ";
    }
}
