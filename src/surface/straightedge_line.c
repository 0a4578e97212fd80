/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <float.h>
#include <math.h>
#include <string.h>

#include "benchtrue/base/alloc.h"
#include "surface/straightedge_private.h"

/*
 * A window is all points within one span from its first.  The largest gap under any
 * chord no longer than the span is the largest gap under the upper hull of any window,
 * because a hull lies above every chord of its window and consists of such chords.
 *
 * The line is cut at pivots, each the last point within a span of the one before.  A
 * chord then lies between two neighbouring pivots, where one hull holds all of them, or
 * spans one pivot.  For these the windows around a pivot are visited one after another;
 * each is a piece left of the pivot, whose hull loses its first point, and a piece
 * right of it, whose hull gains points.  Only the edge that bridges the two pieces is
 * new. Every point enters two hulls, so a line costs time in proportion to its points,
 * but for looking under the bridges, and there blocks of points that lie too high are
 * passed over unseen.
 */

enum { BLOCK = 24, PARTS = 4 };

/* Windows of fewer points than this on average are quicker taken one by one. */
static const size_t few_points = 5;

/* A distance counts as within the span up to this share of it. */
static const double span_slack = 1e-9;

/* Heights are rounded, and so is a chord between them: gaps below this share of the
 * largest height are not told from none. */
static const double rounding = 8 * DBL_EPSILON;

struct line {
    size_t n;
    const double *s, *z;
    double reach;             /* span with its slack */
    double *end, *low, *high; /* two a block: its ends, and what straight lines below
                                 and above all its points are there */
    struct bt_edge_gap best;
};

bool bt_edge_work_fit(struct bt_edge_work *work, size_t n)
{
    if (n <= work->room)
        return true;
    bt_edge_work_clear(work);
    work->index = bt_alloc(n, 4 * sizeof *work->index);
    work->block = bt_alloc(n / BLOCK + 1, 6 * sizeof *work->block);
    if (!work->index || !work->block)
        return false;
    work->room = n;
    return true;
}

void bt_edge_work_clear(struct bt_edge_work *work)
{
    bt_free(work->index);
    bt_free(work->block);
    memset(work, 0, sizeof *work);
}

/* Whether the step from a to b rises no more steeply than the one from b to c. */
static bool bends_up(const struct line *l, size_t a, size_t b, size_t c)
{
    return (l->z[b] - l->z[a]) * (l->s[c] - l->s[b]) <=
           (l->z[c] - l->z[b]) * (l->s[b] - l->s[a]);
}

static size_t smaller(size_t a, size_t b)
{
    return a < b ? a : b;
}

/* The slope of a block: between the means of its halves, which noise turns less than
 * its ends. */
static double slope_of(const struct line *l, size_t first, size_t count)
{
    const size_t half = count / 2;
    double s = 0, z = 0;

    for (size_t i = first, j = first + count - half; i < first + half; i++, j++) {
        s += l->s[j] - l->s[i];
        z += l->z[j] - l->z[i];
    }
    return s > 0 ? z / s : 0;
}

static void make_blocks(struct line *l)
{
    for (size_t first = 0; first < l->n; first += BLOCK) {
        const size_t last = smaller(first + BLOCK, l->n) - 1, k = 2 * (first / BLOCK);
        const double rise = slope_of(l, first, last - first + 1);
        double least = 0, most = 0;

        for (size_t i = first + 1; i <= last; i++) {
            const double over = l->z[i] - l->z[first] - rise * (l->s[i] - l->s[first]);
            least = over < least ? over : least;
            most = over > most ? over : most;
        }
        l->end[k] = l->s[first];
        l->end[k + 1] = l->s[last];
        l->low[k] = l->z[first] + least;
        l->high[k] = l->z[first] + most;
        l->low[k + 1] = l->low[k] + rise * (l->s[last] - l->s[first]);
        l->high[k + 1] = l->high[k] + rise * (l->s[last] - l->s[first]);
    }
}

struct chord {
    size_t left, right;
    double s, z, slope;
};

static void look_under(struct line *l, const struct chord *c, size_t from, size_t to)
{
    for (size_t k = from; k < to; k++) {
        const double gap = c->z + c->slope * (l->s[k] - c->s) - l->z[k];
        if (gap > l->best.gap)
            l->best = (struct bt_edge_gap){gap, c->left, c->right, k};
    }
}

/* Take the gap under the chord from point a to point b where it is larger. */
static void try_chord(struct line *l, size_t a, size_t b)
{
    const struct chord c = {a, b, l->s[a], l->z[a],
                            (l->z[b] - l->z[a]) / (l->s[b] - l->s[a])};

    if (b - a <= 2 * BLOCK) {
        look_under(l, &c, a + 1, b);
        return;
    }
    for (size_t k = (a + 1) / BLOCK; k * BLOCK < b; k++) {
        const double *end = l->end + 2 * k, *low = l->low + 2 * k;
        if (c.z + c.slope * (end[0] - c.s) - low[0] > l->best.gap ||
            c.z + c.slope * (end[1] - c.s) - low[1] > l->best.gap)
            look_under(l, &c, k * BLOCK > a ? k * BLOCK : a + 1,
                       smaller((k + 1) * BLOCK, b));
    }
}

/* An upper hull built towards one side; the point added last is on top. */
struct hull {
    size_t *point, n;
};

/* Hulls of the points from p to last for each p from first on are one stack, from which
 * the points are taken off again in turn: what each of them hid, and how high it was.
 */
struct hidden {
    size_t *point, *n;
};

static void start(struct hull *h, size_t p)
{
    h->point[0] = p;
    h->n = 1;
}

static void build_left(const struct line *l, size_t first, size_t last, struct hull *h,
                       struct hidden *hidden)
{
    start(h, last);
    for (size_t p = last; p-- > first;) {
        size_t top = h->n;
        while (top > 1 && bends_up(l, p, h->point[top - 1], h->point[top - 2]))
            top--;
        hidden->point[p] = h->point[top];
        hidden->n[p] = h->n;
        h->point[top] = p;
        h->n = top + 1;
    }
}

static void take_off(struct hull *h, const struct hidden *hidden, size_t p)
{
    h->point[h->n - 1] = hidden->point[p];
    h->n = hidden->n[p];
}

static void add_right(const struct line *l, struct hull *h, size_t p)
{
    while (h->n > 1 && bends_up(l, h->point[h->n - 2], h->point[h->n - 1], p))
        h->n--;
    h->point[h->n++] = p;
}

static void try_left(struct line *l, const struct hull *h)
{
    for (size_t k = h->n - 1; k > 0; k--)
        if (h->point[k - 1] - h->point[k] > 1)
            try_chord(l, h->point[k], h->point[k - 1]);
}

static size_t reach_of(const struct line *l, size_t first, size_t last)
{
    while (last + 1 < l->n && l->s[last + 1] - l->s[first] <= l->reach)
        last++;
    return last;
}

/* The hulls of the pieces left and right of a pivot, from the pivot outwards, and the
 * edge that bridges them: left.point[a] to right.point[b]; 0 and 0 for none. */
struct pieces {
    struct hull left, right;
    struct hidden hidden;
    size_t a, b;
};

/*
 * Move the bridge outwards until no end has a higher neighbour.  What comes into view
 * outside of an end, or goes there, lies below the bridge, so that a bridge whose ends
 * both still stand is a place to go on from.
 */
static void bridge(const struct line *l, struct pieces *h)
{
    const size_t *left = h->left.point, *right = h->right.point;
    size_t a = h->a, b = h->b;
    bool moved = true;

    if (a == 0) {
        if (!bends_up(l, left[1], left[0], right[1]))
            return;
        a = b = 1;
    }
    while (moved) {
        moved = false;
        while (b + 1 < h->right.n && bends_up(l, left[a], right[b], right[b + 1])) {
            b++;
            moved = true;
        }
        while (a + 1 < h->left.n && bends_up(l, left[a + 1], left[a], right[b])) {
            a++;
            moved = true;
        }
    }
    h->a = a;
    h->b = b;
}

/* The windows that begin after first and before the pivot and end behind it. */
static void sweep(struct line *l, size_t first, size_t pivot, struct pieces *h)
{
    size_t last = pivot;

    start(&h->right, pivot);
    h->a = h->b = 0;
    for (size_t p = first + 1; p < pivot; p++) {
        const size_t end = reach_of(l, p, last);
        const size_t u = h->left.point[h->a], v = h->right.point[h->b];

        take_off(&h->left, &h->hidden, p - 1);
        if (end == last)
            continue; /* a part of the window before */
        while (last < end)
            add_right(l, &h->right, ++last);
        if (u < p || h->b >= h->right.n || h->right.point[h->b] != v)
            h->a = h->b = 0;
        bridge(l, h);
        if (h->a && (h->left.point[h->a] != u || h->right.point[h->b] != v))
            try_chord(l, h->left.point[h->a], h->right.point[h->b]);
    }
}

/*
 * A gap that none within the blocks of the points from first to last is larger than:
 * the hull of the lines above the blocks over the lines below them.  Both are straight
 * within a block, so that the largest difference is at an end of one.
 */
static double bound(const struct line *l, size_t first, size_t last, struct pieces *h)
{
    const struct line ends = {.s = l->end, .z = l->high};
    const size_t *hull = h->right.point;
    double most = 0;

    start(&h->right, 2 * (first / BLOCK));
    for (size_t k = hull[0] + 1; k <= 2 * (last / BLOCK) + 1; k++)
        add_right(&ends, &h->right, k);
    for (size_t e = 1; e < h->right.n; e++) {
        const size_t a = hull[e - 1], b = hull[e];
        const double slope = (ends.z[b] - ends.z[a]) / (ends.s[b] - ends.s[a]);
        most = fmax(most, fmax(ends.z[a] - l->low[a], ends.z[b] - l->low[b]));
        for (size_t k = a + 1; k < b; k++) {
            const double gap = ends.z[a] + slope * (ends.s[k] - ends.s[a]) - l->low[k];
            most = gap > most ? gap : most;
        }
    }
    return most;
}

/*
 * Whether no window that begins from first to pivot can hold a larger gap than the
 * largest so far: by what all of them cover, or by a few parts of it where that may
 * help.  A gap grows at most about with the square of the length.
 */
static bool hopeless(const struct line *l, size_t first, size_t pivot, struct pieces *h)
{
    const double hope = 2.5;
    const size_t step = (pivot - first + PARTS - 1) / PARTS;
    const double all = bound(l, first, reach_of(l, pivot, pivot), h);

    if (all <= l->best.gap)
        return true;
    if (all > hope * l->best.gap)
        return false;
    for (size_t p = first; p < pivot; p += step) {
        const size_t next = smaller(p + step, pivot);
        if (bound(l, p, reach_of(l, next, next), h) > l->best.gap)
            return false;
    }
    return true;
}

static void pivot_by_pivot(struct line *l, struct pieces *h)
{
    for (size_t first = 0; first + 1 < l->n;) {
        const size_t pivot = reach_of(l, first, first);
        if (pivot == first) {
            first++;
            continue;
        }
        if (pivot - first < 4 * BLOCK || !hopeless(l, first, pivot, h)) {
            build_left(l, first, pivot, &h->left, &h->hidden);
            try_left(l, &h->left);
            if (pivot + 1 < l->n)
                sweep(l, first, pivot, h);
        }
        first = pivot;
    }
}

static void window_by_window(struct line *l, struct pieces *h)
{
    for (size_t first = 0, last = 0; last + 1 < l->n; first++) {
        const size_t end = reach_of(l, first, last > first ? last : first);
        if (end > last && end == first + 2) {
            try_chord(l, first, end);
        } else if (end > last && end > first + 2) {
            build_left(l, first, end, &h->left, &h->hidden);
            try_left(l, &h->left);
        }
        last = end;
    }
}

/* Points in all windows together, counted up to enough; *longest: in one of those. */
static size_t count_windows(const struct line *l, size_t enough, size_t *longest)
{
    size_t sum = 0;

    *longest = 0;
    for (size_t first = 0, last = 0; first < l->n && sum < enough; first++) {
        size_t count;
        last = reach_of(l, first, last);
        count = last - first + 1;
        sum += count;
        *longest = count > *longest ? count : *longest;
    }
    return sum;
}

bool bt_edge_line(struct bt_edge_work *work, size_t n, const double s[],
                  const double z[], double span, struct bt_edge_gap *out)
{
    struct line l = {.n = n, .s = s, .z = z, .reach = span * (1 + span_slack)};
    struct pieces h = {.left.point = work->index,
                       .right.point = work->index + work->room,
                       .hidden.point = work->index + 2 * work->room,
                       .hidden.n = work->index + 3 * work->room};
    const size_t enough = few_points * n;
    double height = 0, floor;
    size_t longest;
    bool few;

    if (n < 3)
        return false;
    for (size_t k = 0; k < n; k++)
        height = fabs(z[k]) > height ? fabs(z[k]) : height;
    floor = fmax(out->gap, rounding * height);
    l.best.gap = floor;
    l.end = work->block;
    l.low = work->block + 2 * (work->room / BLOCK + 1);
    l.high = work->block + 4 * (work->room / BLOCK + 1);
    few = count_windows(&l, enough, &longest) < enough;
    if (!few || longest > 2 * BLOCK)
        make_blocks(&l);
    if (few)
        window_by_window(&l, &h);
    else
        pivot_by_pivot(&l, &h);
    if (!(l.best.gap > floor))
        return false;
    *out = l.best;
    return true;
}
