/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "report/text_parts.h"
#include "report/words.h"

/* `x 0 mm, y 0 mm and x 300 mm, y 0 mm` */
static void add_places(struct bt_buffer *out, const struct bt_set_result *r, size_t n,
                       const size_t place[], enum bt_system system)
{
    for (size_t i = 0; i < n; i++) {
        bt_buffer_text(out, i == 0 ? "" : i + 1 < n ? "; " : " and ");
        bt_words_place(out, &r->flatness.used->point[place[i]], system);
    }
}

/* What the upper plane of the zone rests on, or the straightedge. */
static bool add_rests(struct bt_buffer *out, const struct bt_set_result *r,
                      enum bt_figure figure, enum bt_system system)
{
    const struct bt_extremes *e = &r->extremes;
    const struct bt_edge_figure *worst = bt_extremes_worst(e, r->span[0]);
    size_t place[4], n = 0;

    if (figure == BT_FIGURE_ZONE && e->zone_seen) {
        for (int k = 0; k < e->zone.ncontact; k++)
            if (e->zone.contact[k].side > 0)
                place[n++] = e->zone.contact[k].point;
    } else if (figure == BT_FIGURE_LOCAL && worst && worst->gap.value > 0) {
        place[n++] = worst->at.worst.left;
        place[n++] = worst->at.worst.right;
    }
    if (!n)
        return false;
    bt_buffer_text(out, figure == BT_FIGURE_LOCAL
                            ? "take down what the straightedge rests on, at "
                        : n > 1 ? "take down the high spots at "
                                : "take down the high spot at ");
    add_places(out, r, n, place, system);
    return true;
}

/* Where wood stands too high. */
void bt_text_take_down(struct bt_buffer *out, const struct bt_set_result *r,
                       const struct bt_judgement *j, enum bt_system system)
{
    bool up = j->value > 0;

    switch (j->figure) {
    case BT_FIGURE_CUP:
        bt_buffer_text(out, up ? "take down the middle, all along its length"
                               : "take down the back and front edges");
        return;
    case BT_FIGURE_BOW:
        bt_buffer_text(out, up ? "take down the middle, across the whole width"
                               : "take down the left and right ends");
        return;
    case BT_FIGURE_TWIST:
        bt_buffer_text(out,
                       up ? "take down corners A and C" : "take down corners B and D");
        return;
    case BT_FIGURE_ZONE:
    case BT_FIGURE_LOCAL:
        if (add_rests(out, r, j->figure, system))
            return;
        break;
    case BT_FIGURE_RANGE:
    case BT_FIGURE_COUNT:
        break;
    }
    bt_buffer_text(out, "take down the highest spot, at ");
    bt_words_place(out, &r->flatness.used->point[r->flatness.residual.highest], system);
}

/* `the line across through x 750 mm, y 375 mm` */
static void add_line_of(struct bt_buffer *out, const struct bt_set_result *r,
                        enum bt_system system)
{
    const struct bt_edge_figure *worst = bt_extremes_worst(&r->extremes, r->span[0]);

    bt_buffer_text(out, "the line ");
    bt_words_way(out, worst->at.direction, worst->at.angle);
    if (worst->at.direction == BT_EDGE_DIAGONAL_AC ||
        worst->at.direction == BT_EDGE_DIAGONAL_BD)
        return; /* there is one of each */
    bt_buffer_text(out, " through ");
    bt_words_place(out, &r->flatness.used->point[worst->at.worst.deepest], system);
}

static void add_lines_for(struct bt_buffer *out, const struct bt_set_result *r,
                          enum bt_figure figure, enum bt_system system)
{
    switch (figure) {
    case BT_FIGURE_CUP:
        bt_buffer_text(out, "the lines across the width");
        return;
    case BT_FIGURE_BOW:
        bt_buffer_text(out, "the lines along the length");
        return;
    case BT_FIGURE_TWIST:
        bt_buffer_text(out, "both diagonals");
        return;
    case BT_FIGURE_LOCAL:
        if (!bt_extremes_worst(&r->extremes, r->span[0]))
            break;
        add_line_of(out, r, system);
        return;
    case BT_FIGURE_ZONE:
    case BT_FIGURE_RANGE:
    case BT_FIGURE_COUNT:
        break;
    }
    bt_buffer_text(out, "the lines through the highest and the lowest place");
}

void bt_text_read_finer(struct bt_buffer *out, const struct bt_set_result *r,
                        enum bt_figure figure, enum bt_system system)
{
    bt_buffer_text(out, "read ");
    add_lines_for(out, r, figure, system);
    bt_buffer_text(out, " again, at more places");
    if (r->set->kinds[BT_READ_GAP])
        bt_buffer_text(out, " or with feelers of finer steps");
}

/* Whether a straightedge of the local limit found nothing to lie on because heights are
 * missing, not because places lie too far apart. */
static bool local_lacks_lines(const struct bt_set_result *r)
{
    const struct bt_edge_figure *e = r->extremes.edge;

    return (!e[BT_EDGE_ALONG].at.seen && !e[BT_EDGE_ALONG].at.lines) ||
           (!e[BT_EDGE_ACROSS].at.seen && !e[BT_EDGE_ACROSS].at.lines);
}

static bool hides(enum bt_unseen_kind kind, enum bt_figure figure)
{
    if (kind == BT_UNSEEN_POINTS) /* places that move freely may hide any */
        return true;
    switch (figure) {
    case BT_FIGURE_TWIST:
        return kind == BT_UNSEEN_TWIST;
    case BT_FIGURE_BOW:
        return kind == BT_UNSEEN_BOW || kind == BT_UNSEEN_BOWL ||
               kind == BT_UNSEEN_HINGE_X;
    case BT_FIGURE_CUP:
        return kind == BT_UNSEEN_CUP || kind == BT_UNSEEN_BOWL ||
               kind == BT_UNSEEN_HINGE_Y;
    case BT_FIGURE_RANGE:
    case BT_FIGURE_ZONE:
    case BT_FIGURE_LOCAL:
    case BT_FIGURE_COUNT:
        break;
    }
    return true;
}

const struct bt_unseen *bt_text_hiding(const struct bt_set_result *r,
                                       enum bt_figure figure)
{
    if (figure == BT_FIGURE_LOCAL && !local_lacks_lines(r))
        return NULL;
    for (size_t i = 0; i < r->flatness.nunseen; i++)
        if (hides(r->flatness.unseen[i].kind, figure))
            return &r->flatness.unseen[i];
    return NULL;
}

/* `lines along the length with places no farther apart than 150 mm` */
static void add_denser(struct bt_buffer *out, const struct bt_set_result *r,
                       enum bt_system system)
{
    const struct bt_edge_figure *e = r->extremes.edge;
    const bool along = !e[BT_EDGE_ALONG].gap.seen, across = !e[BT_EDGE_ACROSS].gap.seen;

    bt_buffer_format(out, "lines %s with places no farther apart than ",
                     along && across ? "along the length and across the width"
                     : along         ? "along the length"
                                     : "across the width");
    bt_words_rule(out, r->span[0] / 2, system);
}

void bt_text_read_for(struct bt_buffer *out, const struct bt_set_result *r,
                      enum bt_figure figure, enum bt_system system)
{
    const struct bt_unseen *unseen = bt_text_hiding(r, figure);

    bt_buffer_text(out, "read ");
    if (unseen)
        bt_words_read_this(out, unseen, &r->flatness, system);
    else if (figure == BT_FIGURE_LOCAL)
        add_denser(out, r, system);
    else
        bt_buffer_text(out, bt_words_read_for(figure));
}
