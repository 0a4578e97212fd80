/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "joint/pressing.h"

#include <math.h>

#include "benchtrue/base/alloc.h"

/* Steps of the length at which the boards may touch; into how many each interval of
 * places is cut to look for the largest gap, and each side of the one found again. */
enum { STEPS = 64, COARSE = 4, FINE = 8 };

/* Rounds in which all places that lie in each other are taken at once: fast, but not
 * certain to end. */
enum { BOLD_ROUNDS = 12 };

/* Of the hollow: less than this is rounding. */
#define ROUNDING 1e-9

/* Of its diagonal: a pivot below this is a place that stands on another. */
#define DEPENDENT 1e-13

/* Beam tables: load at a, deflection at t <= a; shear: straight lines to the load. */
double bt_pressing_flexibility(double shear, double t, double a)
{
    double x = fmin(t, a), b = 1.0 - fmax(t, a);

    return 8.0 * (1.0 - shear) * b * x * (1.0 - b * b - x * x) + 4.0 * shear * b * x;
}

static double parabola(double t)
{
    return 4.0 * t * (1.0 - t);
}

/* Clamps, and between them the steps that do not stand at a clamp. */
static void place(struct bt_pressing *press, const double clamp[], double length)
{
    size_t k = 0;

    press->n = 0;
    for (size_t step = 1; step <= STEPS; step++) {
        double t = (double)step / STEPS, near = 0.5 / STEPS;

        for (; k < press->nclamp && clamp[k] / length < t; k++) {
            press->at[press->n] = clamp[k] / length;
            press->is_clamp[press->n++] = true;
        }
        if (step == STEPS || (k > 0 && t - clamp[k - 1] / length < near) ||
            (k < press->nclamp && clamp[k] / length - t < near))
            continue;
        press->at[press->n] = t;
        press->is_clamp[press->n++] = false;
    }
}

bool bt_pressing_open(struct bt_pressing *press, double shear, size_t nclamp,
                      const double clamp[], double length)
{
    const size_t room = nclamp + STEPS;

    *press = (struct bt_pressing){.shear = shear, .nclamp = nclamp};
    press->at = bt_alloc(room, sizeof *press->at);
    press->is_clamp = bt_alloc(room, sizeof *press->is_clamp);
    press->force = bt_alloc(room, sizeof *press->force);
    press->matrix = bt_alloc(room * room, sizeof *press->matrix);
    press->right = bt_alloc(room, sizeof *press->right);
    press->active = bt_alloc(room, sizeof *press->active);
    press->index = bt_alloc(room, sizeof *press->index);
    if (!press->at || !press->is_clamp || !press->force || !press->matrix ||
        !press->right || !press->active || !press->index) {
        bt_pressing_close(press);
        return false;
    }
    place(press, clamp, length);
    return true;
}

void bt_pressing_close(struct bt_pressing *press)
{
    bt_free(press->at);
    bt_free(press->is_clamp);
    bt_free(press->force);
    bt_free(press->matrix);
    bt_free(press->right);
    bt_free(press->active);
    bt_free(press->index);
    *press = (struct bt_pressing){0};
}

/* What is open at t before the unknown forces: with `each` at the clamps. */
static double open_at(const struct bt_pressing *press, double each, double t)
{
    double gap = parabola(t);

    if (each > 0.0)
        for (size_t i = 0; i < press->n; i++)
            if (press->is_clamp[i])
                gap -= each * bt_pressing_flexibility(press->shear, t, press->at[i]);
    return gap;
}

static double gap_at(const struct bt_pressing *press, double t)
{
    double gap = parabola(t);

    for (size_t i = 0; i < press->n; i++)
        if (press->force[i] != 0.0)
            gap -= press->force[i] *
                   bt_pressing_flexibility(press->shear, t, press->at[i]);
    return gap;
}

/* Cholesky of the flexibilities of the m active places, row by row; a place that
 * stands on one before it gets no force. */
static void factor(struct bt_pressing *press, size_t m)
{
    double *l = press->matrix;

    for (size_t i = 0; i < m; i++) {
        double *row = l + i * m, pivot, own;

        for (size_t j = 0; j <= i; j++) {
            double sum = bt_pressing_flexibility(
                press->shear, press->at[press->index[i]], press->at[press->index[j]]);

            own = sum;
            for (size_t k = 0; k < j; k++)
                sum -= row[k] * l[j * m + k];
            row[j] = j < i && l[j * m + j] > 0.0 ? sum / l[j * m + j] : 0.0;
            pivot = sum;
        }
        row[i] = pivot > DEPENDENT * own ? sqrt(pivot) : 0.0;
    }
}

/* Forces at the active places that close the joint there, into right[0..m). */
static void solve_active(struct bt_pressing *press, size_t m, double each)
{
    const double *l = press->matrix;
    double *x = press->right;

    factor(press, m);
    for (size_t i = 0; i < m; i++) {
        x[i] = open_at(press, each, press->at[press->index[i]]);
        for (size_t k = 0; k < i; k++)
            x[i] -= l[i * m + k] * x[k];
        x[i] = l[i * m + i] > 0.0 ? x[i] / l[i * m + i] : 0.0;
    }
    for (size_t i = m; i-- > 0;) {
        for (size_t k = i + 1; k < m; k++)
            x[i] -= l[k * m + i] * x[k];
        x[i] = l[i * m + i] > 0.0 ? x[i] / l[i * m + i] : 0.0;
    }
}

/* Go from the forces as they are towards those of right[] as far as no boards pull;
 * places where they would are let go.  Whether it was the whole way. */
static bool step(struct bt_pressing *press, size_t m, bool clamps_free)
{
    double way = 1.0;
    bool whole;

    for (size_t i = 0; i < m; i++) {
        double from = press->force[press->index[i]], to = press->right[i];

        if (!(clamps_free && press->is_clamp[press->index[i]]) && to > 0.0)
            way = fmin(way, from / (from - to));
    }
    whole = way >= 1.0;
    for (size_t i = 0; i < m; i++) {
        size_t at = press->index[i];
        double from = press->force[at], to = press->right[i];
        bool is_free = clamps_free && press->is_clamp[at];

        press->force[at] = whole ? to : from + way * (to - from);
        if (!is_free && to > 0.0 && !(from / (from - to) > way)) {
            press->force[at] = 0.0;
            press->active[at] = false;
        }
    }
    return whole;
}

/* Gap at place i as the forces in work leave it. */
static double gap_in_work(const struct bt_pressing *press, double each, size_t i)
{
    double gap = open_at(press, each, press->at[i]);

    for (size_t k = 0; k < press->n; k++)
        if (press->force[k] != 0.0)
            gap -= press->force[k] *
                   bt_pressing_flexibility(press->shear, press->at[i], press->at[k]);
    return gap;
}

/*
 * Take the place where the boards would lie deepest in each other, with `all` every one
 * where they would.  False where there is none.
 */
static bool take_touching(struct bt_pressing *press, double each, bool all)
{
    size_t found = press->n;
    double least = -ROUNDING;

    for (size_t i = 0; i < press->n; i++)
        if (!press->active[i])
            press->right[i] = gap_in_work(press, each, i);
    for (size_t i = 0; i < press->n; i++) {
        if (press->active[i] || !(press->right[i] < -ROUNDING))
            continue;
        if (press->right[i] < least || found == press->n) {
            least = press->right[i];
            found = i;
        }
    }
    for (size_t i = 0; all && i < press->n; i++)
        press->active[i] |= press->right[i] < -ROUNDING && !press->active[i];
    if (found < press->n)
        press->active[found] = true;
    return found < press->n;
}

static size_t gather(struct bt_pressing *press)
{
    size_t m = 0;

    for (size_t i = 0; i < press->n; i++)
        if (press->active[i])
            press->index[m++] = i;
    return m;
}

/*
 * The least of F A F/2 - g F, A the flexibilities and g what is open, where the boards
 * cannot pull: the active set of Lawson and Hanson (Solving Least Squares Problems,
 * 1974, chapter 23), begun with the places that are active already.  With one place a
 * round it ends; the bound is for rounding alone.
 */
static void solve(struct bt_pressing *press, double each, bool clamps_free)
{
    for (size_t round = 0; round < BOLD_ROUNDS + 4 * press->n; round++) {
        size_t m = gather(press);

        solve_active(press, m, each);
        while (!step(press, m, clamps_free)) {
            m = gather(press);
            solve_active(press, m, each);
        }
        if (!take_touching(press, each, round < BOLD_ROUNDS))
            return;
    }
}

void bt_pressing_closed(struct bt_pressing *press)
{
    for (size_t i = 0; i < press->n; i++) {
        press->force[i] = 0.0;
        press->active[i] = press->is_clamp[i];
    }
    solve(press, 0.0, true);
}

void bt_pressing_pressed(struct bt_pressing *press, double force)
{
    /* where they touched last time they will for the most part again */
    for (size_t i = 0; i < press->n; i++)
        press->force[i] = 0.0;
    solve(press, force, false);
    for (size_t i = 0; i < press->n; i++)
        if (press->is_clamp[i])
            press->force[i] += force;
}

/* The larger of what was found and the gap at t. */
static void look(const struct bt_pressing *press, double t, double *largest, double *at)
{
    double gap = gap_at(press, t);

    if (gap > *largest + ROUNDING) {
        *largest = gap;
        *at = t;
    }
}

double bt_pressing_gap(const struct bt_pressing *press, double *at)
{
    double largest = 0.0, from = 0.0, step = 1.0 / (STEPS * COARSE), near;

    *at = 0.0;
    for (size_t i = 0; i <= press->n; i++) {
        double to = i < press->n ? press->at[i] : 1.0;

        for (int k = 1; k <= COARSE; k++)
            look(press, from + (to - from) * k / COARSE, &largest, at);
        from = to;
    }
    near = *at;
    for (int k = -FINE + 1; k < FINE; k++)
        look(press, fmin(fmax(near + step * k / FINE, 0.0), 1.0), &largest, at);
    return largest;
}
