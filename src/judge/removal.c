/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/judge/removal.h"

#include <math.h>
#include <string.h>

#include "judge/programme.h"
#include "judge/removal_private.h"

/* Weights below are nought: several planes are then as good. */
static const double no_weight = 1e-9;

enum bt_status removal_check(const struct bt_removal_face *face, const char *name,
                             struct bt_error *err)
{
    double sum = 0.0;

    if (face->n < 3)
        return bt_error_set(err, BT_EINPUT, face->n, 0,
                            "%s%zu places are too few for a face, 3 would do", name,
                            face->n);
    for (size_t i = 0; i < face->n; i++) {
        if (!isfinite(face->p[i].x) || !isfinite(face->p[i].y) || !isfinite(face->z[i]))
            return bt_error_set(err, BT_EINPUT, i, 0,
                                "%splace %zu is not three finite numbers", name, i + 1);
        if (face->u && !(face->u[i] >= 0.0 && isfinite(face->u[i])))
            return bt_error_set(err, BT_EINPUT, i, 0,
                                "%su of place %zu is not a finite number from 0 up",
                                name, i + 1);
        if (face->share && !(face->share[i] >= 0.0 && isfinite(face->share[i])))
            return bt_error_set(err, BT_EINPUT, i, 0,
                                "%sshare of place %zu is not a finite number from 0 up",
                                name, i + 1);
        sum += face->share ? face->share[i] : 1.0;
    }
    if (!(sum > 0.0) || !isfinite(sum))
        return bt_error_set(err, BT_EINPUT, 0, 0,
                            "%sthe shares of the places sum to nothing", name);
    return BT_OK;
}

static double plane_at(const struct bt_plane *plane, struct bt_point p)
{
    return plane->a + plane->b * p.x + plane->c * p.y;
}

/* What a figure is made of: factors of heights of one face or the other. */
enum { TERMS = 16 };

struct terms {
    size_t n;
    struct {
        const struct bt_removal_face *face;
        size_t point;
        double factor;
    } term[TERMS];
};

static void add_term(struct terms *t, const struct bt_removal_face *face, size_t point,
                     double factor)
{
    size_t i = 0;

    while (i < t->n && (t->term[i].face != face || t->term[i].point != point))
        i++;
    if (i == t->n) {
        t->term[t->n].face = face;
        t->term[t->n].point = point;
        t->term[t->n++].factor = 0.0;
    }
    t->term[i].factor += factor;
}

static double u_of(const struct terms *t)
{
    double sum = 0.0;

    for (size_t i = 0; i < t->n; i++) {
        const double *u = t->term[i].face->u;

        if (!u)
            return NAN;
        sum += pow(t->term[i].factor * u[t->term[i].point], 2.0);
    }
    return sqrt(sum);
}

/* A solved programme and the faces that it is about; `first` gave the height at rest.
 */
struct solved {
    const struct bt_removal_face *above, *below;
    struct programme_answer answer;
    const struct programme_answer *first;
};

/* How right side k of the contacts moves, times `factor`. */
static void add_contact(struct terms *t, const struct solved *s, int k, double factor)
{
    const struct programme_contact *c = &s->answer.contact[k];

    if (c->row == ROW_ABOVE)
        add_term(t, s->above, c->point, factor);
    else if (c->row == ROW_BELOW)
        add_term(t, s->below, c->point, -factor);
    else
        for (int i = 0; i < s->first->ncontact; i++)
            add_term(t, s->above, s->first->contact[i].point,
                     -factor * s->first->contact[i].weight);
}

/* What the depth of a place is made of, and its u: over the plane, or under the one
 * that lies t lower. */
static void take_terms(const struct solved *s, bool under, struct bt_removal_cut *cut)
{
    const struct bt_removal_face *face = under ? s->below : s->above;
    const double sign = under ? -1.0 : 1.0;
    double factor[PROGRAMME_UNKNOWNS];
    struct terms t = {0};

    programme_factors(&s->answer, face->p[cut->deepest], factor);
    add_term(&t, face, cut->deepest, sign);
    for (int k = 0; k < s->answer.ncontact; k++)
        add_contact(&t, s, k,
                    -sign * (factor[k] - (under ? s->answer.contact[k].weight : 0.0)));
    cut->u = u_of(&t);
    for (size_t i = 0; i < t.n && cut->nterm < BT_REMOVAL_TERMS; i++)
        if (t.term[i].factor != 0.0)
            cut->term[cut->nterm++] = (struct bt_removal_term){
                t.term[i].point, t.term[i].face != s->above, t.term[i].factor};
}

static void add_touching(struct bt_removal_cut *cut, size_t point)
{
    int i = 0;

    while (i < cut->ncontact && cut->contact[i] < point)
        i++;
    if (cut->ncontact == 3 || (i < cut->ncontact && cut->contact[i] == point))
        return;
    memmove(&cut->contact[i + 1], &cut->contact[i],
            (size_t)(cut->ncontact - i) * sizeof *cut->contact);
    cut->contact[i] = point;
    cut->ncontact++;
}

/* Rows of an answer that touch its plane; of one that another came after, those that
 * every plane as good touches. */
static void take_touching(struct bt_removal_cut *cut,
                          const struct programme_answer *answer, enum programme_row row,
                          double weight)
{
    for (int k = 0; k < answer->ncontact; k++)
        if (answer->contact[k].row == row && answer->contact[k].weight >= weight)
            add_touching(cut, answer->contact[k].point);
}

/* Depths of a face at a plane that lies under it (sign 1) or over it (-1). */
static void measure(const struct bt_removal_face *face, double sign, double slack,
                    struct bt_removal_cut *cut)
{
    double sum = 0.0, shares = 0.0, deepest = 0.0;

    cut->largest = 0.0;
    cut->deepest = 0;
    for (size_t i = 0; i < face->n; i++) {
        const double depth = sign * (face->z[i] - plane_at(&cut->plane, face->p[i]));
        const double share = face->share ? face->share[i] : 1.0;

        sum += share * depth;
        shares += share;
        cut->largest = fmax(cut->largest, depth);
        /* Of several as deep the first, whatever their roundings. */
        if (depth > deepest + slack) {
            deepest = depth;
            cut->deepest = i;
        }
    }
    cut->mean = fmax(sum / shares, 0.0);
}

static void take_top(const struct solved *s, struct bt_removal_cut *cut)
{
    memset(cut, 0, sizeof *cut);
    cut->plane = s->answer.plane;
    measure(s->above, 1.0, 4.0 * s->answer.slack, cut);
    take_terms(s, false, cut);
    if (s->first)
        take_touching(cut, s->first, ROW_ABOVE, no_weight);
    take_touching(cut, &s->answer, ROW_ABOVE, 0.0);
}

static void take_bottom(const struct solved *s, struct bt_removal_cut *cut)
{
    memset(cut, 0, sizeof *cut);
    cut->plane = s->answer.plane;
    cut->plane.a -= s->answer.best;
    measure(s->below, -1.0, 4.0 * s->answer.slack, cut);
    take_terms(s, true, cut);
    take_touching(cut, &s->answer, ROW_BELOW, 0.0);
}

static struct programme_side side_of(const struct bt_removal_face *face)
{
    return (struct programme_side){face->n, face->p, face->z};
}

enum bt_status bt_removal_least_depth(const struct bt_removal_face *face,
                                      struct bt_removal_cut *cut, struct bt_error *err)
{
    struct programme programme = {.above = side_of(face), .below = side_of(face)};
    struct solved s = {.above = face, .below = face};
    enum bt_status status = removal_check(face, "", err);

    if (status == BT_OK)
        status = programme_solve(&programme, &s.answer, err);
    if (status == BT_OK)
        take_top(&s, cut);
    return status;
}

/* Where the shares balance. */
static struct bt_point middle_of(const struct bt_removal_face *face)
{
    struct bt_point sum = {0.0, 0.0};
    double shares = 0.0;

    for (size_t i = 0; i < face->n; i++) {
        const double share = face->share ? face->share[i] : 1.0;

        sum.x += share * (face->p[i].x - face->p[0].x);
        sum.y += share * (face->p[i].y - face->p[0].y);
        shares += share;
    }
    return (struct bt_point){face->p[0].x + sum.x / shares,
                             face->p[0].y + sum.y / shares};
}

static bool one_plane(const struct programme_answer *answer)
{
    bool one = true;

    for (int k = 0; k < answer->ncontact; k++)
        one = one && answer->contact[k].weight > no_weight;
    return one;
}

enum bt_status bt_removal_least_volume(const struct bt_removal_face *face,
                                       struct bt_removal_cut *cut, struct bt_error *err)
{
    struct programme programme = {.above = side_of(face)};
    struct solved s = {.above = face, .below = face};
    struct programme_answer first;
    enum bt_status status = removal_check(face, "", err);

    if (status != BT_OK)
        return status;
    programme.middle = middle_of(face);
    status = programme_solve(&programme, &first, err);
    if (status != BT_OK)
        return status;
    s.answer = first;
    if (!one_plane(&first)) {
        /* The slack keeps rounding from leaving no plane at all. */
        programme.below = side_of(face);
        programme.rests = true;
        programme.height = first.best - 4.0 * first.slack;
        s.first = &first;
        status = programme_solve(&programme, &s.answer, err);
    }
    if (status == BT_OK)
        take_top(&s, cut);
    return status;
}

void bt_removal_depths(const struct bt_removal_face *face, const struct bt_plane *plane,
                       double depth[])
{
    for (size_t i = 0; i < face->n; i++)
        depth[i] = fmax(face->z[i] - plane_at(plane, face->p[i]), 0.0);
}

double bt_removal_passes(double depth, double pass)
{
    if (!isfinite(depth) || !isfinite(pass) || !(pass > 0.0))
        return NAN;
    return fmax(ceil(depth / pass - 1e-3), 0.0);
}

enum bt_status bt_removal_parallel(const struct bt_removal_face *top,
                                   const struct bt_removal_face *bottom,
                                   struct bt_removal_pair *pair, struct bt_error *err)
{
    struct programme programme = {.above = side_of(top), .below = side_of(bottom)};
    struct solved s = {.above = top, .below = bottom};
    struct terms t = {0};
    struct bt_error inner = {.code = BT_OK};
    struct bt_plane any;
    enum bt_status status = removal_check(top, "", err);

    if (status == BT_OK)
        status = removal_check(bottom, "bottom: ", err);
    if (status == BT_OK)
        status = bt_plane_fit(bottom->n, bottom->p, bottom->z, &any, NULL, &inner);
    if (inner.code != BT_OK)
        bt_error_set(err, status, inner.row, 0, "bottom: %s", inner.message);
    if (status == BT_OK)
        status = programme_solve(&programme, &s.answer, err);
    if (status != BT_OK)
        return status;
    for (int k = 0; k < s.answer.ncontact; k++)
        add_contact(&t, &s, k, s.answer.contact[k].weight);
    pair->thickness = s.answer.best;
    pair->u = u_of(&t);
    take_top(&s, &pair->top);
    take_bottom(&s, &pair->bottom);
    return BT_OK;
}

enum bt_status bt_removal_nominal(const struct bt_removal_face *top, double thickness,
                                  double u_thickness, struct bt_removal_pair *pair,
                                  struct bt_error *err)
{
    struct programme programme = {.above = side_of(top), .below = side_of(top)};
    struct solved s = {.above = top, .below = top};
    enum bt_status status = removal_check(top, "", err);

    if (status == BT_OK && !(thickness > 0.0 && isfinite(thickness)))
        status = bt_error_set(err, BT_EINPUT, 0, 0,
                              "the thickness is not a finite number above 0");
    if (status == BT_OK)
        status = programme_solve(&programme, &s.answer, err);
    if (status != BT_OK)
        return status;
    take_top(&s, &pair->top);
    take_bottom(&s, &pair->bottom);
    /* The bottom is the top's own form, one thickness lower. */
    pair->bottom.plane.a -= thickness;
    pair->thickness = thickness + s.answer.best;
    pair->u = hypot(pair->top.u, u_thickness);
    return BT_OK;
}

static bool good_cut(double v)
{
    return v >= 0.0 && isfinite(v);
}

enum bt_status bt_removal_rip(const struct bt_rip_request *r, struct bt_rip *rip,
                              struct bt_error *err)
{
    const double joints = (double)r->njoint;

    if (!(r->width > 0.0) || !isfinite(r->width))
        return bt_error_set(err, BT_EINPUT, 0, 0,
                            "the width is not a finite number above 0");
    if (!good_cut(r->kerf) || !good_cut(r->jointing) || !good_cut(r->trim))
        return bt_error_set(err, BT_EINPUT, 0, 0,
                            "kerf, jointing and trim must be finite numbers from 0 up");
    if (!isnan(r->u_cut) && !good_cut(r->u_cut))
        return bt_error_set(err, BT_EINPUT, 0, 0,
                            "u of a cut is not a finite number from 0 up");
    rip->lost = joints * (r->kerf + 2.0 * r->jointing) + 2.0 * r->trim;
    rip->width = r->width - rip->lost;
    rip->u = r->u_cut * sqrt(3.0 * joints + 2.0);
    return BT_OK;
}
