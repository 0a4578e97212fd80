/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/judge/pull_flat.h"

#include <math.h>
#include <string.h>

#include "benchtrue/base/alloc.h"

void bt_pull_clear(struct bt_pull *pull)
{
    if (!pull)
        return;
    bt_free(pull->force);
    memset(pull, 0, sizeof *pull);
}

/*
 * A panel whose middle stands 1 mm over its ends, and what bends it straight at the
 * lines: w, a natural cubic spline, whose second derivative at the lines is bend.
 */
struct strip {
    size_t n;
    const double *at;
    double extent;
    double *bend;  /* [n] 1/mm; 0 at both ends */
    double *spare; /* [n] of the elimination */
};

/* Height of the unbent panel, mm. */
static double form_at(const struct strip *s, double y)
{
    const double v = 2.0 * y / s->extent - 1.0;

    return -v * v;
}

/* w lowers each line to 0: h[k-1] m[k-1] + 2 (h[k-1] + h[k]) m[k] + h[k] m[k+1] =
 * 6 (change of slope of the chords), solved by elimination. */
static void find_bend(struct strip *s)
{
    double *m = s->bend, *up = s->spare;

    m[0] = up[0] = 0.0;
    for (size_t k = 1; k + 1 < s->n; k++) {
        const double before = s->at[k] - s->at[k - 1], after = s->at[k + 1] - s->at[k];
        const double z = form_at(s, s->at[k]);
        const double chords = (z - form_at(s, s->at[k + 1])) / after -
                              (form_at(s, s->at[k - 1]) - z) / before;
        const double pivot = 2.0 * (before + after) - before * up[k - 1];

        up[k] = after / pivot;
        m[k] = (6.0 * chords - before * m[k - 1]) / pivot;
    }
    m[s->n - 1] = 0.0;
    for (size_t k = s->n - 1; k-- > 1;)
        m[k] -= up[k] * m[k + 1];
}

/* Third derivative between line k and the next. */
static double turning(const struct strip *s, size_t k)
{
    return (s->bend[k + 1] - s->bend[k]) / (s->at[k + 1] - s->at[k]);
}

/* A load upwards makes the third derivative jump by itself over E I. */
static double pulls_down(const struct strip *s, size_t k)
{
    const double before = k > 0 ? turning(s, k - 1) : 0.0;
    const double after = k + 1 < s->n ? turning(s, k) : 0.0;

    return before - after;
}

/* Largest size of a + b t + c t^2 + d t^3 from t0 to t1. */
static double largest_cubic(const double p[4], double t0, double t1)
{
    const double root2 = p[2] * p[2] - 3.0 * p[1] * p[3];
    double t[4] = {t0, t1, t0, t0}, most = 0.0;

    if (p[3] != 0.0 && root2 >= 0.0) {
        t[2] = (-p[2] + sqrt(root2)) / (3.0 * p[3]);
        t[3] = (-p[2] - sqrt(root2)) / (3.0 * p[3]);
    } else if (p[2] != 0.0) {
        t[2] = -p[1] / (2.0 * p[2]);
    }
    for (size_t i = 0; i < 4; i++)
        if (t[i] >= t0 && t[i] <= t1)
            most = fmax(most, fabs(p[0] + t[i] * (p[1] + t[i] * (p[2] + t[i] * p[3]))));
    return most;
}

/* Panel plus w over one stretch from line k, t = y - at[k]: it is 0 there. */
static void cubic_of(const struct strip *s, size_t k, double slope, double p[4])
{
    const double steep = -4.0 / s->extent * (2.0 * s->at[k] / s->extent - 1.0);

    p[0] = 0.0;
    p[1] = steep + slope;
    p[2] = -4.0 / (s->extent * s->extent) + s->bend[k] / 2.0;
    p[3] = 0.0;
}

/* What is left between the lines and beyond them. */
static double left_over(const struct strip *s)
{
    double most = 0.0, slope = 0.0, p[4];

    for (size_t k = 0; k + 1 < s->n; k++) {
        const double h = s->at[k + 1] - s->at[k];
        const double fall = form_at(s, s->at[k]) - form_at(s, s->at[k + 1]);

        slope = fall / h - h * (2.0 * s->bend[k] + s->bend[k + 1]) / 6.0;
        cubic_of(s, k, slope, p);
        if (k == 0)
            most = fmax(most, largest_cubic(p, -s->at[0], 0.0));
        p[3] = turning(s, k) / 6.0;
        most = fmax(most, largest_cubic(p, 0.0, h));
        slope += h * (s->bend[k] + s->bend[k + 1]) / 2.0;
    }
    cubic_of(s, s->n - 1, slope, p);
    return fmax(most, largest_cubic(p, 0.0, s->extent - s->at[s->n - 1]));
}

static bool positive(double v)
{
    return v > 0.0 && isfinite(v);
}

static enum bt_status check_hand(const struct bt_pull_request *r, struct bt_error *err)
{
    if (isnan(r->hand_force) != isnan(r->hand_gap))
        return bt_error_set(err, BT_EINPUT, 0, 0,
                            "a hand's force needs the gap that it closed, and the gap "
                            "its force");
    if (!isnan(r->hand_force) && (!positive(r->hand_force) || !positive(r->hand_gap)))
        return bt_error_set(err, BT_EINPUT, 0, 0,
                            "a hand's force and the gap that it closed must be finite "
                            "numbers above 0");
    if (!isnan(r->u_hand) && !positive(r->u_hand))
        return bt_error_set(err, BT_EINPUT, 0, 0,
                            "u of a hand's force is not a finite number above 0");
    return BT_OK;
}

static enum bt_status check(const struct bt_pull_request *r, struct bt_error *err)
{
    if (!positive(r->extent) || !positive(r->breadth) || !positive(r->thickness))
        return bt_error_set(err, BT_EINPUT, 0, 0,
                            "the sides and the thickness of the panel must be finite "
                            "numbers above 0");
    if (!positive(r->E.value) || r->E.u < 0.0 || isinf(r->E.u))
        return bt_error_set(err, BT_EINPUT, 0, 0,
                            "the stiffness of the wood is not a finite number above 0");
    if (!r->form.seen || !isfinite(r->form.value) || !(r->form.u >= 0.0) ||
        isinf(r->form.u))
        return bt_error_set(err, BT_EINPUT, 0, 0,
                            "the form to be pulled flat is not seen");
    if (r->screws == 0)
        return bt_error_set(err, BT_EINPUT, 0, 0, "a line of fixings has no screw");
    if (r->nline < 3)
        return bt_error_set(err, BT_EINPUT, r->nline, 0,
                            "%zu lines of fixings bend nothing, three would do",
                            r->nline);
    for (size_t k = 0; k < r->nline; k++)
        if (!(r->line[k] >= 0.0 && r->line[k] <= r->extent) ||
            (k && !(r->line[k] > r->line[k - 1])))
            return bt_error_set(err, BT_EINPUT, k, 0,
                                "line %zu of the fixings is off the panel or not "
                                "beyond the one before",
                                k + 1);
    return check_hand(r, err);
}

/* Of all the screws on a line, the share of the one that carries most. */
static double most_loaded(size_t screws)
{
    return screws < 3 ? 1.0 / (double)screws : 1.0 / (double)(screws - 1);
}

/* Of a product: relative parts, and what the form's u adds at `each` mm. */
static double u_product(double value, double relative_e, double relative_t, double each,
                        double u_form)
{
    return sqrt(pow(value * relative_e, 2.0) + pow(value * relative_t, 2.0) +
                pow(each * u_form, 2.0));
}

static void take_forces(const struct bt_pull_request *r, const struct strip *s,
                        struct bt_pull *p)
{
    const double t = r->thickness, u_e = r->E.u / r->E.value;
    const double stiff = r->E.value * r->breadth * t * t * t / 12.0;
    const double size = fabs(r->form.value);
    double most = 0.0, bend = 0.0, each;

    for (size_t k = 0; k < s->n; k++) {
        const double one = stiff * pulls_down(s, k);

        p->force[k] = one * r->form.value;
        most = fmax(most, fabs(one));
        bend = fmax(bend, fabs(s->bend[k]));
    }
    each = most * most_loaded(r->screws);
    p->computed = each * size;
    p->u_computed =
        u_product(p->computed, u_e, 3.0 * BT_PULL_THICKNESS_SCATTER, each, r->form.u);
    each = r->E.value * t / 2.0 * bend;
    p->stress = each * size;
    p->u_stress = u_product(p->stress, u_e, BT_PULL_THICKNESS_SCATTER, each, r->form.u);
    p->stress_even = r->E.value * t / 2.0 * 8.0 * size / (r->extent * r->extent);
    p->left = left_over(s) * size;
}

static void take_hand(const struct bt_pull_request *r, struct bt_pull *p)
{
    const double span = (r->line[r->nline - 1] - r->line[0]) / r->extent;
    const double u_hand = isnan(r->u_hand) ? BT_PULL_HAND_SCATTER : r->u_hand;
    const double each = r->hand_force / r->hand_gap;

    p->sagitta = fabs(r->form.value) * span * span;
    p->measured = each * p->sagitta;
    p->u_measured = u_product(p->measured, u_hand, 0.0, each * span * span, r->form.u);
    p->screw = isnan(p->measured) ? p->computed : p->measured;
    p->u_screw = isnan(p->measured) ? p->u_computed : p->u_measured;
}

enum bt_status bt_pull_evaluate(const struct bt_pull_request *request,
                                struct bt_pull *pull, struct bt_error *err)
{
    struct strip s = {.n = request->nline, .at = request->line};
    struct bt_pull made;
    enum bt_status status = check(request, err);

    if (status != BT_OK)
        return status;
    memset(&made, 0, sizeof made);
    s.extent = request->extent;
    s.bend = bt_alloc(s.n, sizeof *s.bend);
    s.spare = bt_alloc(s.n, sizeof *s.spare);
    made.force = bt_alloc(s.n, sizeof *made.force);
    if (s.bend && s.spare && made.force) {
        find_bend(&s);
        take_forces(request, &s, &made);
        take_hand(request, &made);
        *pull = made;
    } else {
        status =
            bt_error_set(err, BT_ENOMEM, 0, 0, "no memory for the forces of fixings");
        bt_free(made.force);
    }
    bt_free(s.bend);
    bt_free(s.spare);
    return status;
}

struct bt_measured bt_pull_twist(double length, double width, double thickness,
                                 const struct bt_wood_value *G,
                                 const struct bt_measured *twist)
{
    const double t3 = thickness * thickness * thickness;
    const double each = G->value * t3 / (3.0 * length * width);
    struct bt_measured force = {NAN, NAN, false};

    if (!positive(length) || !positive(width) || !positive(thickness) ||
        !positive(G->value) || !twist->seen || !isfinite(twist->value) ||
        !isfinite(each))
        return force;
    force.seen = true;
    force.value = each * fabs(twist->value);
    force.u = u_product(force.value, G->u / G->value, 3.0 * BT_PULL_THICKNESS_SCATTER,
                        each, twist->u);
    return force;
}

double bt_pull_tension_strength(double gravity, bool hardwood)
{
    if (!(gravity > 0.0))
        return NAN;
    return hardwood ? 10.1 * pow(gravity, 1.3) : 6.0 * pow(gravity, 1.11);
}

const char *bt_pull_verdict_text(enum bt_pull_verdict verdict)
{
    switch (verdict) {
    case BT_PULL_WORKS:
        return "it works";
    case BT_PULL_SCREWS_TOO_WEAK:
        return "the screws hold less than that";
    case BT_PULL_WOOD_TOO_WEAK:
        return "the wood may split";
    }
    return "unknown verdict";
}

enum bt_pull_verdict bt_pull_judge(const struct bt_pull *pull, double screw_holds,
                                   double wood_holds)
{
    if (!(pull->stress + 2.0 * pull->u_stress <= wood_holds))
        return BT_PULL_WOOD_TOO_WEAK;
    if (!(pull->screw + 2.0 * pull->u_screw <= screw_holds))
        return BT_PULL_SCREWS_TOO_WEAK;
    return BT_PULL_WORKS;
}
