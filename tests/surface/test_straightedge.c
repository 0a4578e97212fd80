/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The largest gap under an edge against every chord of random lines, and its lines. */
#include <criterion/criterion.h>
#include <math.h>
#include <string.h>

#include "benchtrue/surface/straightedge.h"
#include "support/builder.h"
#include "support/memory.h"

enum { LONGEST = 400 };

struct profile {
    size_t n;
    double s[LONGEST], z[LONGEST];
};

/* Every chord no longer than the span over every point between its ends. */
static double by_all_chords(const struct profile *p, double span)
{
    double best = 0;

    for (size_t a = 0; a < p->n; a++)
        for (size_t c = a + 2; c < p->n && p->s[c] - p->s[a] <= span * (1 + 1e-9); c++)
            for (size_t b = a + 1; b < c; b++) {
                const double t = (p->s[b] - p->s[a]) / (p->s[c] - p->s[a]);
                best = fmax(best, p->z[a] + t * (p->z[c] - p->z[a]) - p->z[b]);
            }
    return best;
}

static struct bt_edge_gap gap_of(const struct profile *p, double span)
{
    struct bt_edge_gap gap = {NAN, 99, 99, 99};
    struct bt_error err = {0};

    cr_assert_eq(bt_edge_gap_line(p->n, p->s, p->z, span, &gap, &err), BT_OK, "%s",
                 err.message);
    return gap;
}

/* The points named are those of the gap, and the edge is no longer than its span. */
static void expect_consistent(const struct profile *p, const struct bt_edge_gap *gap,
                              double span)
{
    const double *s = p->s, *z = p->z;
    double t;

    if (gap->gap == 0) {
        cr_expect(gap->left == 0 && gap->right == 0 && gap->deepest == 0);
        return;
    }
    cr_assert(gap->left < gap->deepest && gap->deepest < gap->right &&
              gap->right < p->n);
    cr_expect(s[gap->right] - s[gap->left] <= span * (1 + 1e-9));
    t = (s[gap->deepest] - s[gap->left]) / (s[gap->right] - s[gap->left]);
    cr_expect(fabs(z[gap->left] + t * (z[gap->right] - z[gap->left]) - z[gap->deepest] -
                   gap->gap) <= 1e-12);
}

/* Kinds of lines that random readings and made surfaces give. */
static double height(int kind, double t, unsigned long long *seed)
{
    switch (kind % 7) {
    case 0:
        return builder_normal(seed);
    case 1:
        return 40 * (t - 0.5) * (t - 0.5); /* hollow */
    case 2:
        return 3 * sin(25 * t) + 0.01 * builder_normal(seed);
    case 3:
        return floor(4 * builder_uniform(seed)); /* plateaus and ties */
    case 4:
        return -30 * t * t + 0.2 * builder_normal(seed); /* crown */
    case 5:
        return builder_uniform(seed) > 0.97 ? 5 : 0; /* spikes */
    default:
        return fabs(fmod(6 * t, 1) - 0.5) * 4 + 0.05 * builder_normal(seed);
    }
}

static void make_profile(struct profile *p, int kind, size_t n,
                         unsigned long long *seed)
{
    double s = 17.25;

    p->n = n;
    for (size_t i = 0; i < n; i++) {
        p->s[i] = s;
        p->z[i] = 100 + height(kind, (double)i / (double)n, seed);
        s += kind % 3 == 0                 ? 1
             : kind % 3 == 1               ? 0.05 + 2 * builder_uniform(seed)
             : builder_uniform(seed) > 0.9 ? 12.5
                                           : 0.3;
    }
}

Test(straightedge, finds_the_largest_gap_of_all_chords_on_random_lines)
{
    unsigned long long seed = 11;
    struct profile p;

    for (int round = 0; round < 6000; round++) {
        const size_t n = 1 + (size_t)(60 * builder_uniform(&seed));
        const double share = builder_uniform(&seed);
        double span;
        struct bt_edge_gap got;

        make_profile(&p, round, n, &seed);
        span = 0.2 + 1.2 * share * share * (p.s[n - 1] - p.s[0]);
        got = gap_of(&p, span);
        expect_consistent(&p, &got, span);
        cr_assert(fabs(got.gap - by_all_chords(&p, span)) <= 1e-12,
                  "round %d, n %zu, span %g: %.17g for %.17g", round, n, span, got.gap,
                  by_all_chords(&p, span));
    }
}

Test(straightedge, finds_the_largest_gap_of_all_chords_on_long_lines)
{
    unsigned long long seed = 5;
    struct profile p;

    for (int round = 0; round < 63; round++) {
        const double share = 0.15 + 0.15 * (double)(round % 4);
        double span;
        struct bt_edge_gap got;

        make_profile(&p, round, LONGEST - (size_t)(round % 9), &seed);
        span = share * (p.s[p.n - 1] - p.s[0]);
        got = gap_of(&p, span);
        expect_consistent(&p, &got, span);
        cr_assert(fabs(got.gap - by_all_chords(&p, span)) <= 1e-12,
                  "round %d: %.17g for %.17g", round, got.gap, by_all_chords(&p, span));
    }
}

Test(straightedge, finds_no_gap_on_lines_without_a_hollow)
{
    struct profile p = {.n = LONGEST};
    struct bt_edge_gap got;

    for (int kind = 0; kind < 4; kind++)
        for (double span = 0.5; span < 500; span *= 3) {
            for (size_t i = 0; i < p.n; i++) {
                const double s = (double)i;
                p.s[i] = 0.7 * s;
                p.z[i] = kind == 0   ? 2.385
                         : kind == 1 ? 1e6 + 0.1 * s
                         : kind == 2 ? 3 - 1e-3 * (s - 170) * (s - 170)
                                     : -fabs(s - 133) - 0.3 * s;
            }
            got = gap_of(&p, span);
            cr_expect(got.gap == 0 && got.left == 0 && got.right == 0 &&
                          got.deepest == 0,
                      "kind %d, span %g: %g", kind, span, got.gap);
        }
}

Test(straightedge, gives_the_sagitta_of_a_hollow_arc)
{
    struct profile p = {.n = 241};

    /* z = (s/1000)^2 * 90: under a span of w the gap is 90 (w/2000)^2 */
    for (size_t i = 0; i < p.n; i++) {
        p.s[i] = 5 * (double)i;
        p.z[i] = 90e-6 * p.s[i] * p.s[i];
    }
    cr_expect(fabs(gap_of(&p, 300).gap - 90e-6 * 150 * 150) <= 1e-12);
    cr_expect(fabs(gap_of(&p, 1000).gap - 90e-6 * 500 * 500) <= 1e-12);
    cr_expect(fabs(gap_of(&p, 5000).gap - 90e-6 * 600 * 600) <= 1e-12);
}

Test(straightedge, scales_mirrors_and_tilts_with_the_line)
{
    unsigned long long seed = 23;
    struct profile p, q;

    for (int round = 0; round < 300; round++) {
        const double span = 5 + 60 * builder_uniform(&seed);
        double want;

        make_profile(&p, round, 120, &seed);
        want = gap_of(&p, span).gap;
        q = p;
        for (size_t i = 0; i < p.n; i++) {
            q.s[i] = 3 * p.s[i];
            q.z[i] = 0.5 * p.z[i];
        }
        cr_expect(fabs(gap_of(&q, 3 * span).gap - 0.5 * want) <= 1e-12);
        for (size_t i = 0; i < p.n; i++) {
            q.s[i] = -p.s[p.n - 1 - i];
            q.z[i] = p.z[p.n - 1 - i];
        }
        cr_expect(fabs(gap_of(&q, span).gap - want) <= 1e-12);
        for (size_t i = 0; i < p.n; i++) {
            q.s[i] = p.s[i];
            q.z[i] = p.z[i] + 40 - 0.37 * p.s[i];
        }
        cr_expect(fabs(gap_of(&q, span).gap - want) <= 1e-12);
    }
}

Test(straightedge, grows_with_the_span)
{
    unsigned long long seed = 31;
    struct profile p;

    for (int round = 0; round < 50; round++) {
        double before = 0;
        make_profile(&p, round, 200, &seed);
        for (double span = 1; span < 300; span *= 1.3) {
            const double gap = gap_of(&p, span).gap;
            cr_expect(gap >= before - 1e-12);
            before = gap;
        }
    }
}

Test(straightedge, does_not_lose_a_step_to_rounding)
{
    struct profile p = {.n = 31};
    size_t k = 1;

    for (size_t i = 0; i < p.n; i++)
        p.s[i] = 0.1 * (double)i;
    while (k + 10 < p.n && !(p.s[k + 10] - p.s[k] > 1)) /* ten steps of 0.1 mm */
        k++;
    cr_assert(k + 10 < p.n);
    p.z[k] = p.z[k + 10] = 1;
    cr_expect(fabs(gap_of(&p, 1).gap - 1) <= 1e-12);
    cr_expect(fabs(gap_of(&p, 1 - 1e-6).gap - 8.0 / 9) <= 1e-12);
}

Test(straightedge, needs_three_points_within_the_span)
{
    struct profile p = {.n = 4, .s = {0, 10, 25, 31}, .z = {1, 0, 0, 1}};

    cr_expect(gap_of(&p, 5).gap == 0);
    cr_expect(gap_of(&p, 15.5).gap == 0);
    cr_expect(fabs(gap_of(&p, 21).gap - 5.0 / 7) <= 1e-12);
    cr_expect(fabs(gap_of(&p, 1000).gap - 1) <= 1e-12);
    p.n = 2;
    cr_expect(gap_of(&p, 1000).gap == 0);
    p.n = 0;
    cr_expect(gap_of(&p, 1000).gap == 0);
}

/* -- faults of a line -------------------------------------------------------------- */

static void expect_line_fault(const struct profile *p, double span, size_t row,
                              const char *message)
{
    struct bt_edge_gap gap = {2.385, 1, 2, 3};
    struct bt_error err = {0};

    cr_expect_eq(bt_edge_gap_line(p->n, p->s, p->z, span, &gap, &err), BT_EINPUT);
    cr_expect_eq(err.code, BT_EINPUT);
    cr_expect_eq(err.row, row);
    cr_expect_str_eq(err.message, message);
    cr_expect(gap.gap == 2.385 && gap.left == 1 && gap.right == 2 && gap.deepest == 3);
    cr_expect_eq(bt_edge_gap_line(p->n, p->s, p->z, span, &gap, NULL), BT_EINPUT);
}

Test(straightedge, refuses_lines_that_are_not_in_order_or_not_finite)
{
    const struct profile good = {.n = 3, .s = {0, 1, 2}, .z = {1, 0, 1}};
    struct profile p = good;

    expect_line_fault(&p, 0, 0, "the span of the edge is not a length above 0");
    expect_line_fault(&p, -3, 0, "the span of the edge is not a length above 0");
    expect_line_fault(&p, NAN, 0, "the span of the edge is not a length above 0");
    expect_line_fault(&p, INFINITY, 0, "the span of the edge is not a length above 0");
    p.z[1] = NAN;
    expect_line_fault(&p, 5, 1, "point 1 is not finite");
    p = good;
    p.s[2] = INFINITY;
    expect_line_fault(&p, 5, 2, "point 2 is not finite");
    p = good;
    p.s[1] = 0;
    expect_line_fault(&p, 5, 1, "point 1 does not lie behind the one before");
    p.s[1] = 3;
    expect_line_fault(&p, 5, 2, "point 2 does not lie behind the one before");
}

/* -- lines found among points ------------------------------------------------------ */

enum { NX = 23, NY = 17, GRID = NX * NY };

struct cloud {
    size_t n;
    struct bt_point p[GRID + 64];
    double z[GRID + 64];
    struct bt_edge_search search;
};

static void make_grid(struct cloud *c, double jitter, unsigned long long *seed)
{
    c->n = GRID;
    c->search = (struct bt_edge_search){1100, 640, 30, -20, 4 * jitter + 1, 0};
    for (size_t k = 0; k < GRID; k++) {
        c->p[k].x = 30 + 50 * (double)(k % NX) + jitter * builder_normal(seed) / 3;
        c->p[k].y = -20 + 40 * (double)(k / NX) + jitter * builder_normal(seed) / 3;
        c->z[k] = 0.2 * builder_normal(seed);
    }
}

static void shuffle(struct cloud *c, unsigned long long *seed)
{
    for (size_t k = c->n; k-- > 1;) {
        const size_t j = (size_t)((double)(k + 1) * builder_uniform(seed));
        const struct bt_point p = c->p[k];
        const double z = c->z[k];
        c->p[k] = c->p[j];
        c->z[k] = c->z[j];
        c->p[j] = p;
        c->z[j] = z;
    }
}

static struct bt_edge_result found(const struct cloud *c,
                                   enum bt_edge_direction direction, double span)
{
    struct bt_edge_result r;
    struct bt_error err = {0};

    memset(&r, 0xff, sizeof r);
    cr_assert_eq(
        bt_edge_gap_search(c->n, c->p, c->z, &c->search, direction, span, &r, &err),
        BT_OK, "%s", err.message);
    cr_expect(r.span == span && r.direction == direction);
    return r;
}

/* What a grid's rows or columns give one by one, before anything is shuffled. */
static double by_grid_lines(const struct cloud *c, bool rows, double span)
{
    double best = 0;

    for (size_t l = 0; l < (rows ? NY : NX); l++) {
        struct profile p = {0};
        for (size_t i = 0; i < (rows ? NX : NY); i++) {
            const size_t k = rows ? l * NX + i : i * NX + l;
            if (isnan(c->z[k]))
                continue;
            p.s[p.n] = rows ? c->p[k].x : c->p[k].y;
            p.z[p.n++] = c->z[k];
        }
        best = fmax(best, by_all_chords(&p, span));
    }
    return best;
}

Test(straightedge, finds_rows_and_columns_in_any_order_with_jitter_and_holes)
{
    static struct cloud c;
    unsigned long long seed = 3;

    for (int round = 0; round < 40; round++) {
        const double span = 90 + 500 * builder_uniform(&seed);
        double want[2];

        make_grid(&c, round % 4 == 0 ? 0 : 0.5 * (round % 4), &seed);
        for (size_t k = 0; k < c.n; k++)
            if (round % 3 && builder_uniform(&seed) < 0.2)
                c.z[k] = NAN;
        if (round % 5 == 0)
            c.search.band = 0.25 * c.search.band * (round % 4 != 0) + c.search.band;
        want[0] = by_grid_lines(&c, true, span);
        want[1] = by_grid_lines(&c, false, span);
        if (round % 2)
            shuffle(&c, &seed);
        for (int d = 0; d < 2; d++) {
            const struct bt_edge_result r =
                found(&c, d ? BT_EDGE_ACROSS : BT_EDGE_ALONG, span);
            cr_expect(r.seen || (want[d] <= 0 && r.worst.gap == 0));
            cr_expect_eq(r.lines, d ? (size_t)NX : (size_t)NY);
            cr_expect(fabs(r.worst.gap - want[d]) <= 1e-12, "round %d: %g for %g",
                      round, r.worst.gap, want[d]);
        }
    }
}

Test(straightedge, takes_an_exact_grid_with_a_band_of_no_width)
{
    static struct cloud c;
    unsigned long long seed = 9;
    struct bt_edge_result r;

    make_grid(&c, 0, &seed);
    c.search.band = 0;
    r = found(&c, BT_EDGE_ACROSS, 200);
    cr_expect_eq(r.lines, (size_t)NX);
    cr_expect(fabs(r.worst.gap - by_grid_lines(&c, false, 200)) <= 1e-12);
}

Test(straightedge, sorts_lines_that_lie_nearer_than_its_bins)
{
    static struct cloud c;

    /* two pairs of lines 0.002 mm apart, a metre between the pairs */
    c.n = 40;
    c.search = (struct bt_edge_search){100, 100, 0, 0, 1e-6, 0};
    for (size_t k = 0; k < c.n; k++) {
        c.p[k] = (struct bt_point){(double)(k / 4), 1000 * (double)(k % 2) +
                                                        0.002 * (double)(k / 2 % 2)};
        c.z[k] = k / 4 == 5 && k % 4 == 3 ? -1 : 0;
    }
    c.z[7] = NAN;
    cr_expect_eq(found(&c, BT_EDGE_ALONG, 4).lines, (size_t)4);
    cr_expect(fabs(found(&c, BT_EDGE_ALONG, 4).worst.gap - 1) <= 1e-12);
    cr_expect_eq(found(&c, BT_EDGE_ALONG, 4).worst.deepest, (size_t)23);
}

Test(straightedge, lays_bands_of_the_stated_width_over_scattered_points)
{
    static struct cloud c;
    unsigned long long seed = 77;
    struct bt_edge_result r;

    c.n = GRID;
    c.search = (struct bt_edge_search){1000, 500, 0, 0, 20, 0};
    for (size_t k = 0; k < c.n; k++) {
        c.p[k] = (struct bt_point){1000 * builder_uniform(&seed),
                                   500 * builder_uniform(&seed)};
        c.z[k] = 0.1 * builder_normal(&seed);
    }
    r = found(&c, BT_EDGE_ALONG, 300);
    cr_expect_eq(r.lines, (size_t)25);
    cr_expect(fabs(c.p[r.worst.left].y - c.p[r.worst.right].y) <= 20);
    cr_expect(fabs(c.p[r.worst.left].y - c.p[r.worst.deepest].y) <= 20);
    cr_expect(c.p[r.worst.left].x < c.p[r.worst.deepest].x &&
              c.p[r.worst.deepest].x < c.p[r.worst.right].x &&
              c.p[r.worst.right].x - c.p[r.worst.left].x <= 300);
}

Test(straightedge, reads_each_diagonal_from_corner_to_corner)
{
    static struct cloud c;
    struct bt_edge_result r;

    c.n = 0;
    c.search = (struct bt_edge_search){800, 600, 10, 20, 4, 0};
    for (size_t i = 0; i <= 10; i++) { /* AC, each point up to 2 mm beside it */
        const double t = (double)i / 10, off = i % 2 ? 1.9 : -1.9;
        c.p[c.n] =
            (struct bt_point){10 + 800 * t - 0.6 * off, 20 + 600 * t + 0.8 * off};
        c.z[c.n++] = i == 4 ? -1 : 0;
    }
    for (size_t i = 0; i <= 10; i++) { /* BD */
        const double t = (double)i / 10;
        c.p[c.n] = (struct bt_point){10 + 800 * (1 - t), 20 + 600 * t};
        c.z[c.n++] = i == 7 ? -2 : 0;
    }
    c.p[c.n] = (struct bt_point){10 - 8, 20 - 6}; /* 10 mm beyond corner A */
    c.z[c.n++] = 50;
    c.p[c.n] = (struct bt_point){410, 380}; /* beside both */
    c.z[c.n++] = -50;

    r = found(&c, BT_EDGE_DIAGONAL_AC, 400);
    cr_expect(r.seen && r.lines == 1);
    cr_expect(fabs(r.worst.gap - 1) <= 1e-12);
    cr_expect_eq(r.worst.deepest, (size_t)4);
    r = found(&c, BT_EDGE_DIAGONAL_BD, 400);
    cr_expect(r.seen && r.lines == 1);
    cr_expect(fabs(r.worst.gap - 2) <= 1e-12);
    cr_expect_eq(r.worst.deepest, (size_t)18);
}

Test(straightedge, rests_on_the_higher_of_two_readings_at_one_place)
{
    struct cloud c = {.n = 5, .search = {.length = 100, .width = 100, .band = 1}};
    static const double x[] = {0, 0, 10, 20, 20}, z[] = {0, 1, 0, 3, 2};
    struct bt_edge_result r;

    for (size_t k = 0; k < c.n; k++) {
        c.p[k] = (struct bt_point){x[k], 0};
        c.z[k] = z[k];
    }
    r = found(&c, BT_EDGE_ALONG, 50);
    cr_expect(fabs(r.worst.gap - 2) <= 1e-12);
    cr_expect(r.worst.left == 1 && r.worst.deepest == 2 && r.worst.right == 3);
}

Test(straightedge, sees_nothing_where_no_line_has_three_points)
{
    struct cloud c = {.n = 4,
                      .p = {{0, 0}, {10, 0}, {0, 10}, {10, 10}},
                      .search = {10, 10, 0, 0, 1, 0}};

    for (int d = 0; d < BT_EDGE_DIRECTIONS; d++) {
        const struct bt_edge_result r = found(&c, (enum bt_edge_direction)d, 50);
        cr_expect(!r.seen && r.lines == 0 && r.worst.gap == 0);
    }
    for (size_t k = 0; k < c.n; k++)
        c.z[k] = NAN;
    for (int d = 0; d < BT_EDGE_DIRECTIONS; d++)
        cr_expect(!found(&c, (enum bt_edge_direction)d, 50).seen);
    c.n = 0;
    for (int d = 0; d < BT_EDGE_DIRECTIONS; d++)
        cr_expect(!found(&c, (enum bt_edge_direction)d, 50).seen);
}

/* Places 250 mm apart: a straightedge of 300 mm reaches two of them, which show no gap
 * whatever lies between; to print 0 there would be a claim. */
Test(straightedge, sees_nothing_where_no_span_reaches_three_places)
{
    struct cloud c = {
        .n = 3, .p = {{0, 0}, {250, 0}, {500, 0}}, .search = {500, 100, 0, 0, 1, 0}};

    c.z[1] = -1;
    cr_expect(!found(&c, BT_EDGE_ALONG, 300).seen);
    cr_expect_eq(found(&c, BT_EDGE_ALONG, 300).lines, (size_t)1);
    cr_expect(!found(&c, BT_EDGE_ALONG, 499.9).seen);
    cr_expect(found(&c, BT_EDGE_ALONG, 500).seen);
    cr_expect(fabs(found(&c, BT_EDGE_ALONG, 500).worst.gap - 1) <= 1e-12);
}

/* -- lines at an angle ------------------------------------------------------------- */

static const double turn = 3.14159265358979323846 / 180;

/*
 * The largest gap over all threes of points, one between two no farther apart than the
 * span, that lie aside of each other by no more than `band`.
 */
static double by_all_threes(const struct cloud *c, double angle, double span,
                            double band)
{
    double best = 0, s[GRID + 64], a[GRID + 64];

    for (size_t k = 0; k < c->n; k++) {
        s[k] = c->p[k].x * cos(angle) + c->p[k].y * sin(angle);
        a[k] = c->p[k].y * cos(angle) - c->p[k].x * sin(angle);
    }
    for (size_t l = 0; l < c->n; l++)
        for (size_t r = 0; r < c->n; r++) {
            if (!(s[r] > s[l] + 1e-6) || s[r] - s[l] > span * (1 + 1e-9) ||
                fabs(a[r] - a[l]) > band)
                continue;
            for (size_t m = 0; m < c->n; m++) {
                const double t = (s[m] - s[l]) / (s[r] - s[l]);

                if (t > 0 && t < 1 && fabs(a[m] - a[l]) <= band &&
                    fabs(a[m] - a[r]) <= band && !isnan(c->z[m]))
                    best = fmax(best, c->z[l] + t * (c->z[r] - c->z[l]) - c->z[m]);
            }
        }
    return best;
}

/* A roof that falls away from y = x with the square of the distance: level along 45
 * degrees, crowned in every other direction, so that a dip too small to make up for the
 * crown is a hollow along 45 degrees alone. */
Test(straightedge, finds_a_hollow_that_lies_only_along_45_degrees)
{
    static struct cloud c;
    unsigned long long seed = 8;
    struct bt_edge_result r;

    c.n = 81;
    c.search = (struct bt_edge_search){400, 400, 0, 0, 6, 45 * turn};
    for (size_t k = 0; k < c.n; k++) {
        const double x = 50 * (double)(k % 9), y = 50 * (double)(k / 9);

        c.p[k] = (struct bt_point){x, y};
        c.z[k] = -4e-6 * (x - y) * (x - y);
    }
    c.z[4 * 9 + 4] -= 0.004;
    shuffle(&c, &seed);
    cr_expect_eq(found(&c, BT_EDGE_ALONG, 200).worst.gap, 0);
    cr_expect_eq(found(&c, BT_EDGE_ACROSS, 200).worst.gap, 0);
    r = found(&c, BT_EDGE_OBLIQUE, 200);
    cr_expect(r.seen);
    cr_expect_eq(r.angle, 45 * turn);
    cr_expect_eq(r.lines, (size_t)13, "%zu lines", r.lines);
    cr_expect(fabs(r.worst.gap - 0.004) <= 1e-12, "%g", r.worst.gap);
    cr_expect(c.p[r.worst.deepest].x == 200 && c.p[r.worst.deepest].y == 200);
    c.search.angle = -45 * turn;
    cr_expect_eq(found(&c, BT_EDGE_OBLIQUE, 200).worst.gap, 0);
}

Test(straightedge, at_0_and_90_degrees_is_along_and_across)
{
    static struct cloud c;
    unsigned long long seed = 21;

    for (int round = 0; round < 12; round++) {
        const double span = 90 + 500 * builder_uniform(&seed);

        make_grid(&c, round % 3, &seed);
        for (size_t k = 0; k < c.n; k++)
            if (builder_uniform(&seed) < 0.1)
                c.z[k] = NAN;
        shuffle(&c, &seed);
        for (int d = 0; d < 2; d++) {
            const struct bt_edge_result want =
                found(&c, d ? BT_EDGE_ACROSS : BT_EDGE_ALONG, span);
            struct bt_edge_result got;

            c.search.angle = d ? 90 * turn : 0;
            got = found(&c, BT_EDGE_OBLIQUE, span);
            cr_expect(got.seen == want.seen && got.lines == want.lines);
            cr_expect(fabs(got.worst.gap - want.worst.gap) <= 1e-12);
            cr_expect_eq(got.worst.deepest, want.worst.deepest);
        }
    }
}

/* Where lines lie apart: one of every place and two steps on, and more. */
Test(straightedge, finds_at_an_angle_what_all_threes_of_places_show)
{
    static struct cloud c;
    const double slope[] = {atan2(40, 50), -atan2(40, 50), atan2(80, 50),
                            -atan2(40, 100)};
    unsigned long long seed = 31;

    for (int round = 0; round < 4; round++) {
        const double span = 250 + 300 * builder_uniform(&seed);
        double want;

        make_grid(&c, round % 2, &seed);
        for (size_t k = 0; k < c.n; k++)
            if (builder_uniform(&seed) < 0.1)
                c.p[k] = c.p[0], c.z[k] = c.z[0];
        c.search.angle = slope[round];
        want = by_all_threes(&c, c.search.angle, span, c.search.band);
        shuffle(&c, &seed);
        cr_expect(want > 0.1);
        cr_expect(fabs(found(&c, BT_EDGE_OBLIQUE, span).worst.gap - want) <= 1e-12,
                  "round %d: %g for %g", round,
                  found(&c, BT_EDGE_OBLIQUE, span).worst.gap, want);
    }
}

/* Where they lie dense, bands are cut: what half the width of one holds is found, and
 * nothing is that lies farther aside than a band.  A band is cut no narrower than half
 * of what was asked for. */
Test(straightedge, at_an_angle_looks_across_the_cuts_of_dense_bands)
{
    static struct cloud c;
    unsigned long long seed = 41;

    for (int round = 0; round < 6; round++) {
        const double span = 150 + 300 * builder_uniform(&seed);
        double least, most, got;

        make_grid(&c, 1, &seed);
        c.search.band = 8 + 10 * builder_uniform(&seed);
        c.search.angle = turn * (-90 + 180 * builder_uniform(&seed));
        shuffle(&c, &seed);
        least = by_all_threes(&c, c.search.angle, span, c.search.band / 4);
        most = by_all_threes(&c, c.search.angle, span, c.search.band);
        got = found(&c, BT_EDGE_OBLIQUE, span).worst.gap;
        cr_expect(got >= least - 1e-12 && got <= most + 1e-12,
                  "round %d: %g of %g to %g", round, got, least, most);
    }
}

/* Lines 4 mm apart under a band of 6: seven lines are cut in four, and a cut falls on
 * the middle one, whose places rounding puts on both sides of it. */
Test(straightedge, keeps_a_line_together_that_a_cut_falls_on)
{
    static struct cloud c;
    const double angle = 30 * turn;
    struct bt_edge_result r;

    c.n = 0;
    c.search = (struct bt_edge_search){400, 400, 0, 0, 6, angle};
    for (int line = 0; line < 7; line++)
        for (int k = 0; k < 5; k++) {
            const double s = 40 * k + 1e3 * line;
            const double a = 4 * line + (line == 3 ? 1e-7 * (k % 2 ? 1 : -1) : 0);

            c.p[c.n] = (struct bt_point){s * cos(angle) - a * sin(angle),
                                         s * sin(angle) + a * cos(angle)};
            c.z[c.n++] = line == 3 && k % 2 ? -1 : 0;
        }
    /* a low place 8 mm beside the last line is under no edge on it */
    c.p[c.n] = (struct bt_point){6060 * cos(angle) - 16 * sin(angle),
                                 6060 * sin(angle) + 16 * cos(angle)};
    c.z[c.n++] = -2;
    r = found(&c, BT_EDGE_OBLIQUE, 200);
    cr_expect(fabs(r.worst.gap - 1) <= 1e-9, "%g", r.worst.gap);
}

Test(straightedge, names_its_directions)
{
    cr_expect_str_eq(bt_edge_direction_name(BT_EDGE_ALONG), "along");
    cr_expect_str_eq(bt_edge_direction_name(BT_EDGE_ACROSS), "across");
    cr_expect_str_eq(bt_edge_direction_name(BT_EDGE_DIAGONAL_AC), "diagonal AC");
    cr_expect_str_eq(bt_edge_direction_name(BT_EDGE_DIAGONAL_BD), "diagonal BD");
    cr_expect_str_eq(bt_edge_direction_name(BT_EDGE_OBLIQUE), "oblique");
    cr_expect_str_eq(bt_edge_direction_name(BT_EDGE_DIRECTIONS), "");
}

/* -- faults of a search ------------------------------------------------------------ */

static void expect_search_fault(const struct cloud *c, enum bt_edge_direction direction,
                                double span, size_t row, const char *message)
{
    struct bt_edge_result r, before;
    struct bt_error err = {0};

    memset(&r, 0x5a, sizeof r);
    before = r;
    cr_expect_eq(
        bt_edge_gap_search(c->n, c->p, c->z, &c->search, direction, span, &r, &err),
        BT_EINPUT);
    cr_expect_eq(err.row, row);
    cr_expect_str_eq(err.message, message);
    cr_expect_eq(memcmp(&r, &before, sizeof r), 0);
}

Test(straightedge, refuses_searches_that_cannot_be_done)
{
    const char *band = "the band's width or place is not a number of 0 or more";
    const char *angle = "the angle of the edge is not finite";
    const char *direction = "there is no such direction on a panel of this size";
    const struct cloud good = {
        .n = 3, .p = {{0, 0}, {5, 0}, {10, 0}}, .search = {10, 10, 0, 0, 1, 0}};
    struct cloud c = good;

    expect_search_fault(&c, BT_EDGE_ALONG, 0, 0,
                        "the span of the edge is not a length above 0");
    expect_search_fault(&c, BT_EDGE_DIRECTIONS, 5, 0, direction);
    c.search.band = -1;
    expect_search_fault(&c, BT_EDGE_ALONG, 5, 0, band);
    c.search.band = NAN;
    expect_search_fault(&c, BT_EDGE_ALONG, 5, 0, band);
    c = good;
    c.search.x0 = NAN;
    expect_search_fault(&c, BT_EDGE_DIAGONAL_BD, 5, 0, band);
    c = good;
    c.search.width = 0;
    expect_search_fault(&c, BT_EDGE_DIAGONAL_AC, 5, 0, direction);
    c.search.width = NAN;
    expect_search_fault(&c, BT_EDGE_DIAGONAL_BD, 5, 0, direction);
    c = good;
    c.search.angle = NAN;
    expect_search_fault(&c, BT_EDGE_OBLIQUE, 5, 0, angle);
    c.search.angle = INFINITY;
    expect_search_fault(&c, BT_EDGE_OBLIQUE, 5, 0, angle);
    c = good;
    c.p[2].y = NAN;
    expect_search_fault(&c, BT_EDGE_ALONG, 5, 2, "point 2 is not finite");
    c = good;
    c.z[1] = INFINITY;
    expect_search_fault(&c, BT_EDGE_ALONG, 5, 1, "point 1 is not finite");
}

/* -- memory ------------------------------------------------------------------------ */

Test(straightedge, says_so_when_memory_ends_at_any_call)
{
    static struct cloud c;
    unsigned long long seed = 4;
    struct profile p;
    struct bt_edge_gap gap;
    struct bt_edge_result r;
    struct bt_error err;
    int failed = 0;

    make_profile(&p, 0, 100, &seed);
    make_grid(&c, 0, &seed);
    c.p[0].y += 1e-3; /* two rows in one bin: the slow way */
    for (int band = 0; band < 3; band++)
        for (int d = 0; d <= BT_EDGE_OBLIQUE; d++)
            for (int give = 0;; give++) {
                enum bt_status status;
                if (d == BT_EDGE_DIRECTIONS) /* a count, no direction */
                    break;
                c.search.band = band == 0 ? 0 : band == 1 ? 1e-5 : 3;
                memory_fail_from((size_t)give + 1);
                err = (struct bt_error){0};
                status = bt_edge_gap_search(c.n, c.p, c.z, &c.search,
                                            (enum bt_edge_direction)d, 200, &r, &err);
                memory_fail_at(0);
                if (status == BT_OK)
                    break;
                failed++;
                cr_expect_eq(status, BT_ENOMEM);
                cr_expect_str_eq(err.message, "out of memory");
            }
    cr_expect(failed >= 60, "%d", failed);
    for (failed = 0;; failed++) {
        enum bt_status status;
        memory_fail_from((size_t)failed + 1);
        status = bt_edge_gap_line(p.n, p.s, p.z, 30, &gap, &err);
        memory_fail_at(0);
        if (status == BT_OK)
            break;
        cr_expect_eq(status, BT_ENOMEM);
    }
    cr_expect_eq(failed, 2);
}
