/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "draw/opening_figure.h"

#include <math.h>

void opening_add_tape(struct draw_words *words, double mm, double u,
                      enum bt_system system)
{
    char text[BT_PRINT_ROOM];

    draw_add(words, "%s",
             bt_print_length(text, fabs(mm), u > 0 ? u : 0.2, system, BT_LENGTH_RULE));
}

void opening_add_rule(struct draw_words *words, double mm, enum bt_system system)
{
    char text[BT_PRINT_ROOM];

    /* As in the words of `opening`: to a millimetre or 1/32 in. */
    draw_add(words, "%s",
             bt_print_length(text, mm, system == BT_SYSTEM_MM ? 2.0 : 0.4, system,
                             BT_LENGTH_RULE));
}

static void add_angle(struct draw_words *words, double rad, double u)
{
    char text[BT_PRINT_ROOM];

    draw_add(words, "%s", bt_print_angle(text, fabs(rad), u));
}

static double write_line(struct page *page, double y, enum page_weight weight,
                         const struct draw_words *words)
{
    const struct page_text how = {
        .size = OPENING_LETTER, .weight = weight, .width = OPENING_FULL};

    y = page_room(page, y, 3 * OPENING_LETTER);
    return page_write(page, &how, PAGE_MARGIN, y, words->text) + 0.6;
}

/* ---- cuts ---- */

static void add_end(struct draw_words *t, const struct bt_cut *c, enum bt_system system)
{
    const bool left = c->edge == BT_WALL_LEFT;

    draw_add(t, "%s end: ", bt_wall_name(c->edge));
    add_angle(t, c->angle, c->u);
    draw_add(t, " to the back edge, ");
    opening_add_tape(t, c->offset, c->u * c->over, system);
    draw_add(t, " over ");
    opening_add_rule(t, c->over, system);
    if (fabs(c->offset) > c->u * c->over)
        draw_add(t, ", towards the front %s",
                 (c->offset > 0) == left ? "narrower" : "wider");
    if (left) {
        draw_add(t, "; A is where it meets the back edge");
    } else {
        draw_add(t, "; it meets the back edge ");
        opening_add_rule(t, c->from, system);
        draw_add(t, " from A");
    }
}

/* What is left at the back for scribing is still on when the front is measured. */
static void add_front(struct draw_words *t, const struct bt_cut *c,
                      const struct bt_cut *back, enum bt_system system)
{
    const double more = back->scribed ? back->scribe_most : 0;

    draw_add(t, "front edge: ");
    opening_add_rule(t, c->from + more, system);
    draw_add(t, back->scribed ? " from the back edge as jointed at the left end, "
                              : " from the back edge at the left end, ");
    opening_add_rule(t, c->to + more, system);
    draw_add(t, " at the right");
    if (back->scribed) {
        draw_add(t, "; once that is scribed, ");
        opening_add_rule(t, c->from, system);
        draw_add(t, " and ");
        opening_add_rule(t, c->to, system);
    }
}

static double write_cuts(const struct bt_opening_figure *in, struct page *page,
                         double y)
{
    const enum bt_system system = in->job->system;
    struct draw_words t = {0};

    draw_add(&t, "Cuts, in this order");
    y = write_line(page, y, PAGE_BOLD, &t);
    for (int k = 0; k < 4; k++) {
        const struct bt_cut *c = &in->piece->cut[k];

        t = (struct draw_words){0};
        draw_add(&t, "%d  ", k + 1);
        if (c->edge == BT_WALL_BACK)
            draw_add(&t, "back edge: joint it straight; all else is measured from it");
        else if (c->edge == BT_WALL_FRONT)
            add_front(&t, c, &in->piece->cut[0], system);
        else
            add_end(&t, c, system);
        if (c->scribed) {
            draw_add(&t, "; leave ");
            opening_add_tape(&t, c->scribe_most, c->scribe_most / 10, system);
            draw_add(&t, " more and scribe it last");
        }
        draw_add(&t, ".");
        y = write_line(page, y, PAGE_PLAIN, &t);
    }
    t = (struct draw_words){0};
    draw_add(&t, "The piece is ");
    opening_add_rule(&t, in->piece->length_back, system);
    draw_add(&t, " long at the back, ");
    opening_add_rule(&t, in->piece->length_front, system);
    draw_add(&t, " at the front.");
    return write_line(page, y, PAGE_PLAIN, &t) + 1.5;
}

/* ---- gaps ---- */

static void add_gap(struct draw_words *t, const struct bt_opening_figure *in,
                    enum bt_wall wall)
{
    const struct bt_clearance *c = &in->piece->gap[wall];
    const enum bt_system system = in->job->system;
    double mm;

    draw_add(t, "%s: ", bt_wall_name(wall));
    if (c->taken > 0)
        opening_add_tape(t, c->taken, 0, system);
    else
        draw_add(t, "pushed home");
    if (in->plan->spacer >= 0 && c->taken > 0) {
        const struct bt_feeler *f = &in->job->feeler[in->plan->spacer];
        const size_t n = bt_spacers(c->taken, f->mm, &mm);

        if (n > 0)
            draw_add(t, " (%zu of %.100s)", n, f->name);
    }
    if (c->scribed) {
        draw_add(t, ", scribed to the wall");
    } else if (c->widest > c->taken) {
        draw_add(t, ", at the widest place ");
        opening_add_tape(t, c->widest, in->profile[wall].home.u, system);
    }
}

static double write_gaps(const struct bt_opening_figure *in, struct page *page,
                         double y)
{
    static const enum bt_wall order[] = {BT_WALL_BACK, BT_WALL_LEFT, BT_WALL_RIGHT,
                                         BT_WALL_FRONT};
    const struct bt_piece *p = in->piece;
    struct draw_words t = {0};

    draw_add(&t, "Gaps to the walls");
    y = write_line(page, y, PAGE_BOLD, &t);
    t = (struct draw_words){0};
    for (int k = 0; k < BT_WALLS; k++) {
        if (order[k] == BT_WALL_FRONT && !in->plan->front_wall)
            continue;
        draw_add(&t, k ? "; " : "");
        add_gap(&t, in, order[k]);
    }
    draw_add(&t, ".");
    if (!in->plan->front_wall && p->overhang > 0) {
        draw_add(&t, " Overhang at the front: ");
        opening_add_rule(&t, p->overhang, in->job->system);
        if (isfinite(p->overhang_driest) && isfinite(p->overhang_dampest)) {
            draw_add(&t, ", through the year ");
            opening_add_rule(&t, p->overhang_driest, in->job->system);
            draw_add(&t, " to ");
            opening_add_rule(&t, p->overhang_dampest, in->job->system);
        }
        draw_add(&t, ".");
    }
    return write_line(page, y, PAGE_PLAIN, &t) + 1.5;
}

/* ---- the way in ---- */

static void add_height(struct draw_words *t, const struct bt_opening_figure *in)
{
    if (isnan(in->height_needed)) {
        draw_add(t, "; the height that it needs is not known");
        return;
    }
    draw_add(t, "; it needs ");
    opening_add_rule(t, in->height_needed, in->job->system);
    draw_add(t, " of height");
    if (isfinite(in->plan->headroom)) {
        draw_add(t, ", there is ");
        opening_add_rule(t, in->plan->headroom, in->job->system);
    }
}

static double write_way(const struct bt_opening_figure *in, struct page *page, double y)
{
    const struct bt_insert *way = &in->piece->insert;
    struct draw_words t = {0};

    draw_add(&t, "The way in");
    y = write_line(page, y, PAGE_BOLD, &t);
    t = (struct draw_words){0};
    if (in->level) {
        draw_add(&t, "From above, level");
        add_height(&t, in);
    } else if (way->straight) {
        draw_add(&t, "Straight in from the front, at right angles to the back wall");
    } else if (!isnan(way->nearest)) {
        draw_add(&t, "Slanting: on the way out ");
        add_angle(&t, way->nearest, 0);
        draw_add(&t, " to the %s", way->nearest > 0 ? "right" : "left");
    } else if (way->turning == BT_TURN_FOUND) {
        draw_add(&t, "Turned, lying flat: on the way out turn it ");
        add_angle(&t, way->turn, 0);
        draw_add(&t, " %s about corner %c, then draw it out ",
                 way->turn > 0 ? "clockwise" : "anticlockwise", "ABCD"[way->pivot]);
        add_angle(&t, way->then, 0);
        draw_add(&t, " to the %s", way->then > 0 ? "right" : "left");
    } else if (in->tilts && in->piece->tilt_known && in->piece->tilt_in.possible) {
        draw_add(&t, "Not straight, but tilted, one end first: at ");
        add_angle(&t, in->piece->tilt_in.angle, 0.005);
        draw_add(&t, ", the high end ");
        opening_add_rule(&t, in->piece->tilt_in.rise, in->job->system);
        draw_add(&t, " up");
        add_height(&t, in);
        if (!in->piece->tilt_in.turns_down)
            draw_add(&t, "; but it jams on the way down to level");
    } else {
        draw_add(&t, "No way in is known");
    }
    draw_add(&t, ".");
    return write_line(page, y, PAGE_PLAIN, &t) + 1;
}

double opening_words(const struct bt_opening_figure *in, struct page *page, double y)
{
    y = write_cuts(in, page, y);
    y = write_gaps(in, page, y);
    return write_way(in, page, y);
}
