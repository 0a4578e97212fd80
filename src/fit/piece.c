/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/fit/piece.h"

#include <math.h>
#include <string.h>

#include "benchtrue/base/alloc.h"
#include "fit/piece_walls.h"

#define PI 3.14159265358979323846

/* ---- gaps ---- */

static double or_zero(double value)
{
    return isnan(value) ? 0 : value;
}

/* The class says how far a sealant may be stretched, and how far pressed. */
static double for_sealant(const struct bt_piece_request *r, bool back)
{
    if (isnan(r->plan.sealant))
        return 0;
    return fmax(back ? r->back_wider : r->wider,
                back ? r->back_narrower : r->narrower) /
           (r->plan.sealant / 100);
}

static struct bt_clearance clearance(const struct bt_piece_request *r,
                                     enum bt_wall wall)
{
    const struct bt_opening_plan *plan = &r->plan;
    const bool back = wall == BT_WALL_BACK, front = wall == BT_WALL_FRONT;
    struct bt_clearance c = {.wanted = back ? plan->back_joint : plan->joint};
    double needed;

    if (front && !plan->front_wall)
        return (struct bt_clearance){.wanted = NAN};
    c.to_enter = back ? 0 : or_zero(plan->clearance);
    c.movement = front ? r->wider : back ? r->back_wider : 0;
    c.sealant = front || (back && c.wanted > 0) ? for_sealant(r, back) : 0;
    needed = fmax(c.to_enter, fmax(or_zero(c.movement), or_zero(c.sealant)));
    c.assumed = isnan(c.wanted) && !back && !(needed >= BT_JOINT_TAKEN);
    c.too_small = c.wanted < fmax(or_zero(c.movement), or_zero(c.sealant));
    c.taken = fmax(needed, c.assumed ? BT_JOINT_TAKEN : or_zero(c.wanted));
    return c;
}

static void decide_scribing(const struct bt_piece_request *r, enum bt_wall wall,
                            struct bt_piece *out)
{
    const struct bt_wall_profile *profile = &r->profile[wall];
    struct bt_clearance *c = &out->gap[wall];

    c->widest = c->taken;
    if ((wall == BT_WALL_FRONT && !r->plan.front_wall) || !profile->home.seen)
        return;
    c->widest = c->taken + profile->home.value;
    if (!(r->plan.scribe > 0) || !(profile->home.value >= BT_SCRIBE_WORTH))
        return;
    if (profile->zone.value > r->plan.scribe) {
        out->scribe_over = true;
        return;
    }
    c->scribed = true;
    c->widest = c->taken;
}

/* ---- outline ---- */

/* A scribed edge keeps its distance from the wall, so its ends lie on the chord's line;
 * the back edge's frame stays that of the high points either way. */
static struct bt_line edge_line(const struct bt_piece_request *r,
                                const struct bt_piece *piece, enum bt_wall wall)
{
    const struct bt_clearance *c = &piece->gap[wall];
    const bool open = wall == BT_WALL_FRONT && !r->plan.front_wall;

    return bt_wall_line(r->quad, &r->profile[wall], wall, !open && !c->scribed,
                        open ? -piece->overhang : c->taken);
}

/* How far along a wall a place lies. */
static double along_wall(const struct bt_piece_request *r, enum bt_wall wall,
                         const struct bt_point *p)
{
    const struct bt_line chord = bt_wall_line(r->quad, NULL, wall, false, 0);

    return (p->x - chord.at.x) * chord.dx + (p->y - chord.at.y) * chord.dy;
}

static void add_scribed(const struct bt_piece_request *r, struct bt_piece *out,
                        enum bt_wall wall, bool backwards, const struct bt_point *from,
                        const struct bt_point *to)
{
    const struct bt_wall_profile *profile = &r->profile[wall];
    struct bt_outline *o = &out->placed;

    if (!out->gap[wall].scribed)
        return;
    for (size_t i = 0; i < profile->n; i++) {
        const struct bt_wall_station *s =
            &profile->station[backwards ? profile->n - 1 - i : i];
        const double a = along_wall(r, wall, from), b = along_wall(r, wall, to);

        if (s->at > fmin(a, b) && s->at < fmax(a, b))
            o->p[o->n++] =
                bt_wall_place(r->quad, wall, s->at, s->offset - out->gap[wall].taken);
    }
}

static enum bt_status nothing_left(const struct bt_piece_request *r,
                                   const struct bt_piece *out, enum bt_system system,
                                   struct bt_error *err)
{
    const struct bt_measured *figure = r->quad->figure;
    char wide[BT_PRINT_ROOM], deep[BT_PRINT_ROOM], ends[BT_PRINT_ROOM],
        sides[BT_PRINT_ROOM];

    bt_print_length(wide, figure[BT_QUAD_SIDE + BT_WALL_BACK].value, 0, system,
                    BT_LENGTH_RULE);
    bt_print_length(deep, figure[BT_QUAD_DEPTH_LEFT].value, 0, system, BT_LENGTH_RULE);
    bt_print_length(ends, out->gap[BT_WALL_LEFT].taken + out->gap[BT_WALL_RIGHT].taken,
                    0, system, BT_LENGTH_RULE);
    bt_print_length(sides, out->gap[BT_WALL_BACK].taken + out->gap[BT_WALL_FRONT].taken,
                    0, system, BT_LENGTH_RULE);
    return bt_error_set(err, BT_EINPUT, 0, 0,
                        "the joints leave nothing of the opening: it is %s wide and %s "
                        "deep, the joints take %s and %s of that; check joint, "
                        "back_joint and clearance in [opening]",
                        wide, deep, ends, sides);
}

/* The line of an edge; of one that follows its wall, as it is near p. */
static struct bt_line line_near(const struct bt_piece_request *r,
                                const struct bt_piece *piece, enum bt_wall wall,
                                const struct bt_point *p)
{
    const struct bt_wall_profile *profile = &r->profile[wall];

    if (!piece->gap[wall].scribed)
        return edge_line(r, piece, wall);
    return bt_wall_line(r->quad, NULL, wall, false,
                        piece->gap[wall].taken -
                            bt_wall_profile_at(profile, along_wall(r, wall, p)));
}

/* Corners A, B, C, D of the piece in the frame of the opening; false where nothing is
 * left between the walls. */
static bool find_corners(const struct bt_piece_request *r, const struct bt_piece *piece,
                         struct bt_point corner[4])
{
    static const enum bt_wall meet[4][2] = {{BT_WALL_LEFT, BT_WALL_BACK},
                                            {BT_WALL_BACK, BT_WALL_RIGHT},
                                            {BT_WALL_RIGHT, BT_WALL_FRONT},
                                            {BT_WALL_FRONT, BT_WALL_LEFT}};

    for (int k = 0; k < 4; k++) {
        corner[k] = r->quad->corner[k];
        /* each round is better by the slope of a wall, a few hundredths */
        for (int round = 0; round < 8; round++) {
            const struct bt_line a = line_near(r, piece, meet[k][0], &corner[k]);
            const struct bt_line b = line_near(r, piece, meet[k][1], &corner[k]);

            if (!bt_lines_cross(&a, &b, &corner[k]))
                return false;
        }
    }
    return corner[1].x > corner[0].x && corner[2].x > corner[3].x &&
           corner[3].y > corner[0].y && corner[2].y > corner[1].y;
}

static enum bt_status make_placed(const struct bt_piece_request *r,
                                  enum bt_system system, struct bt_piece *out,
                                  struct bt_error *err)
{
    struct bt_outline *o = &out->placed;
    struct bt_point c[4];
    size_t room = 4;

    if (!find_corners(r, out, c))
        return nothing_left(r, out, system, err);
    for (int wall = 0; wall < BT_WALLS; wall++)
        room += r->profile[wall].n;
    o->p = bt_alloc(room, sizeof *o->p);
    if (!o->p)
        return BT_ENOMEM;
    for (int k = 0; k < 4; k++) {
        static const enum bt_wall after[4] = {BT_WALL_BACK, BT_WALL_RIGHT,
                                              BT_WALL_FRONT, BT_WALL_LEFT};

        o->corner[k] = o->n;
        o->p[o->n++] = c[k];
        add_scribed(r, out, after[k], k >= 2, &c[k], &c[(k + 1) & 3]);
    }
    return bt_outline_area(o) > 0 ? BT_OK : nothing_left(r, out, system, err);
}

/* Into the frame of the piece: its back edge on y = 0. */
static enum bt_status make_outline(const struct bt_piece_request *r,
                                   struct bt_piece *out)
{
    const struct bt_line back =
        bt_wall_line(r->quad, &r->profile[BT_WALL_BACK], BT_WALL_BACK, true,
                     out->gap[BT_WALL_BACK].taken);
    const struct bt_outline *from = &out->placed;
    struct bt_outline *o = &out->outline;
    double left;

    o->p = bt_alloc(from->n, sizeof *o->p);
    if (!o->p)
        return BT_ENOMEM;
    o->n = from->n;
    memcpy(o->corner, from->corner, sizeof o->corner);
    out->tilt = atan2(back.dy, back.dx);
    for (size_t i = 0; i < o->n; i++) {
        const double dx = from->p[i].x - back.at.x, dy = from->p[i].y - back.at.y;

        o->p[i] =
            (struct bt_point){dx * back.dx + dy * back.dy, dy * back.dx - dx * back.dy};
    }
    left = o->p[0].x;
    for (size_t i = 0; i < o->n; i++)
        o->p[i].x -= left;
    return BT_OK;
}

/* ---- cuts ---- */

static const struct bt_point *corner_of(const struct bt_piece *piece, int k)
{
    return &piece->outline.p[piece->outline.corner[k]];
}

static struct bt_cut end_cut(const struct bt_piece_request *r,
                             const struct bt_piece *piece, enum bt_wall wall)
{
    const bool left = wall == BT_WALL_LEFT;
    const struct bt_point *back = corner_of(piece, left ? 0 : 1);
    const struct bt_point *front = corner_of(piece, left ? 3 : 2);
    const double out = front->x - back->x, deep = front->y - back->y;

    return (struct bt_cut){.edge = wall,
                           .angle = left ? atan2(deep, out) : atan2(deep, -out),
                           .u = r->quad->figure[BT_QUAD_ANGLE + (left ? 0 : 1)].u,
                           .offset = out,
                           .over = deep,
                           .from = back->x,
                           .to = front->x};
}

static struct bt_cut front_cut(const struct bt_piece_request *r,
                               const struct bt_piece *piece)
{
    const struct bt_point *a = corner_of(piece, 0), *c = corner_of(piece, 2),
                          *d = corner_of(piece, 3);
    const double to_back = atan2(a->y - d->y, a->x - d->x);

    return (struct bt_cut){.edge = BT_WALL_FRONT,
                           .angle = atan2(c->y - d->y, c->x - d->x) - to_back,
                           .u = r->quad->figure[BT_QUAD_ANGLE + 3].u,
                           .offset = c->y - d->y,
                           .over = c->x - d->x,
                           .from = d->y,
                           .to = c->y};
}

static void make_cuts(const struct bt_piece_request *r, struct bt_piece *out)
{
    /* The back edge first, for all else is measured from it; the front edge last: it
     * takes off what the cross-cuts tore out. */
    out->cut[0] = (struct bt_cut){.edge = BT_WALL_BACK,
                                  .angle = PI,
                                  .over = out->length_back,
                                  .to = out->length_back};
    out->cut[1] = end_cut(r, out, BT_WALL_LEFT);
    out->cut[2] = end_cut(r, out, BT_WALL_RIGHT);
    out->cut[3] = front_cut(r, out);
    for (int k = 0; k < 4; k++) {
        const enum bt_wall wall = out->cut[k].edge;

        out->cut[k].scribed = out->gap[wall].scribed;
        if (out->gap[wall].scribed)
            out->cut[k].scribe_most = r->profile[wall].zone.value;
    }
}

/* ---- getting it in ---- */

/* The width that it passes straight in from the front, and that of its seat. */
static void find_widths(struct bt_piece *out)
{
    const struct bt_walls *w = &out->walls;
    double left = -INFINITY, right = INFINITY;

    out->longest = out->length;
    out->seat =
        out->longest + out->gap[BT_WALL_LEFT].taken + out->gap[BT_WALL_RIGHT].taken;
    out->narrowest = out->seat;
    if (w->closed)
        return;
    for (size_t k = 0; k <= w->back[0]; k++)
        left = fmax(left, w->p[k].x);
    for (size_t k = w->back[1]; k < w->n; k++)
        right = fmin(right, w->p[k].x);
    out->narrowest = right - left;
}

static void find_tilt(const struct bt_piece_request *r, struct bt_piece *out)
{
    const bool above = r->plan.from_above || r->plan.front_wall;

    find_widths(out);
    out->tilt_known = r->plan.thickness > 0;
    if (out->tilt_known)
        out->tilt_in = bt_tilt_find(out->longest, r->plan.thickness,
                                    above ? out->seat : out->narrowest, out->seat);
}

/* ---- all of it ---- */

static void take_sizes(const struct bt_piece_request *r, struct bt_piece *out)
{
    struct bt_point low, high;

    bt_outline_extent(&out->outline, &low, &high);
    out->length = high.x - low.x;
    out->width = high.y - low.y;
    out->length_back = corner_of(out, 1)->x - corner_of(out, 0)->x;
    out->length_front = hypot(corner_of(out, 2)->x - corner_of(out, 3)->x,
                              corner_of(out, 2)->y - corner_of(out, 3)->y);
    out->overhang_driest = out->overhang_dampest = NAN;
    if (!r->plan.front_wall) {
        out->overhang_driest = out->overhang - r->narrower;
        out->overhang_dampest = out->overhang + r->wider;
    }
}

static enum bt_status find(const struct bt_piece_request *r, enum bt_system system,
                           struct bt_piece *out, struct bt_error *err)
{
    enum bt_status status;

    out->overhang = r->plan.front_wall ? 0 : or_zero(r->plan.overhang);
    for (int wall = 0; wall < BT_WALLS; wall++) {
        out->gap[wall] = clearance(r, (enum bt_wall)wall);
        decide_scribing(r, (enum bt_wall)wall, out);
    }
    status = make_placed(r, system, out, err);
    if (status == BT_OK)
        status = make_outline(r, out);
    if (status == BT_OK)
        status = bt_walls_make(r->quad, r->profile, r->plan.front_wall, &out->walls);
    if (status != BT_OK)
        return status;
    take_sizes(r, out);
    make_cuts(r, out);
    status = bt_insert_find(&out->placed, &out->walls, &out->insert, err);
    if (status == BT_OK)
        find_tilt(r, out);
    return status;
}

enum bt_status bt_piece_find(const struct bt_piece_request *request,
                             enum bt_system system, struct bt_piece *out,
                             struct bt_error *err)
{
    enum bt_status status;

    memset(out, 0, sizeof *out);
    if (isnan(request->quad->cov[0]))
        return bt_error_set(err, BT_ECALL, 0, 0,
                            "the corners of the opening are not seen");
    status = find(request, system, out, err);
    if (status == BT_ENOMEM)
        return bt_error_set(err, BT_ENOMEM, 0, 0, "%s", bt_status_text(BT_ENOMEM));
    return status;
}

void bt_piece_clear(struct bt_piece *piece)
{
    if (!piece)
        return;
    bt_outline_clear(&piece->outline);
    bt_outline_clear(&piece->placed);
    bt_free(piece->walls.p);
    bt_insert_clear(&piece->insert);
    memset(piece, 0, sizeof *piece);
}

size_t bt_spacers(double gap, double thickness, double *mm)
{
    double n;

    *mm = 0;
    if (!(gap > 0) || !(thickness > 0) || !(gap / thickness < 1e6))
        return 0;
    n = fmax(1, floor(gap / thickness + 0.5));
    *mm = n * thickness;
    return (size_t)n;
}
