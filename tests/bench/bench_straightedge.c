/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The largest gap under a 300 mm edge on a grid of 1250 x 800 points, 1 mm apart, along
 * all rows and across all columns, against one hull of each whole line, against the
 * naive way of one hull for each window, and against NumPy where it is installed.
 *
 *     bench_straightedge [PYTHON PEER]    peer_straightedge.py of this folder
 *
 * Invented surfaces.  Prints processor times in ms and ratios of the same run.
 */
#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "benchtrue/surface/straightedge.h"
#include "surface/straightedge_private.h"

enum { NX = 1250, NY = 800, POINTS = NX * NY, ROUNDS = 5, THIN = 40, SPAN = 300 };

static double now(void)
{
    struct timespec t;

    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &t);
    return 1e3 * (double)t.tv_sec + 1e-6 * (double)t.tv_nsec;
}

static double noise(uint64_t *state)
{
    double sum = -6;

    for (int k = 0; k < 12; k++) {
        *state = *state * 6364136223846793005u + 1442695040888963407u;
        sum += (double)(*state >> 11) / 9007199254740992.0;
    }
    return sum;
}

/* Surfaces; x and y from 0 to 1. */
static double panel(double x, double y)
{
    return 0.8 * x * y - 0.6 * x * x + 0.9 * y * (1 - y) + 0.1 * sin(9 * x + 4 * y);
}
static double hollow(double x, double y)
{
    return 1.5 * (x - 0.5) * (x - 0.5) + (y - 0.5) * (y - 0.5);
}
static double crown(double x, double y)
{
    return -hollow(x, y);
}
static double flat(double x, double y)
{
    (void)x;
    (void)y;
    return 0;
}
static double boards(double x, double y)
{
    return 0.4 * fabs(fmod(7 * y, 1) - 0.5) + 0.3 * x * y;
}
static double waves(double x, double y)
{
    return 0.2 * sin(40 * x) + 0.2 * sin(30 * y);
}

static const struct input {
    const char *name;
    double (*surface)(double, double);
    double noise;
} inputs[] = {
    {"panel, noise 0.02 mm", panel, 0.02},   {"panel, no noise", panel, 0},
    {"hollow, noise 0.02 mm", hollow, 0.02}, {"hollow, no noise", hollow, 0},
    {"crown, noise 0.02 mm", crown, 0.02},   {"crown, no noise", crown, 0},
    {"boards, noise 0.02 mm", boards, 0.02}, {"waves, no noise", waves, 0},
    {"noise 0.02 mm", flat, 0.02},
};

struct lines {
    size_t count, n;
    double *s, *z;
};

static struct lines make_lines(size_t count, size_t n)
{
    struct lines l = {count, n, malloc(n * sizeof(double)),
                      malloc(count * n * sizeof(double))};

    if (!l.s || !l.z)
        abort();
    for (size_t i = 0; i < n; i++)
        l.s[i] = (double)i;
    return l;
}

/* Largest gap under the upper hull of one window, the usual way. */
static double hull_gap(size_t n, const double s[], const double z[], size_t stack[])
{
    size_t top = 0;
    double best = 0;

    for (size_t i = 0; i < n; i++) {
        while (top > 1) {
            const size_t a = stack[top - 2], b = stack[top - 1];
            if ((z[b] - z[a]) * (s[i] - s[b]) > (z[i] - z[b]) * (s[b] - s[a]))
                break;
            top--;
        }
        stack[top++] = i;
    }
    for (size_t k = 1; k < top; k++) {
        const size_t a = stack[k - 1], b = stack[k];
        const double slope = (z[b] - z[a]) / (s[b] - s[a]);
        for (size_t i = a + 1; i < b; i++) {
            const double gap = z[a] + slope * (s[i] - s[a]) - z[i];
            best = gap > best ? gap : best;
        }
    }
    return best;
}

static double whole_lines(const struct lines *l, size_t stack[])
{
    double best = 0;

    for (size_t k = 0; k < l->count; k++)
        best = fmax(best, hull_gap(l->n, l->s, l->z + k * l->n, stack));
    return best;
}

static double ours(const struct lines *l, double span, size_t step,
                   struct bt_edge_work *work)
{
    struct bt_edge_gap gap = {0};

    for (size_t k = 0; k < l->count; k += step)
        bt_edge_line(work, l->n, l->s, l->z + k * l->n, span, &gap);
    return gap.gap;
}

static double naive(const struct lines *l, double span, size_t step, size_t stack[])
{
    double best = 0;

    for (size_t k = 0; k < l->count; k += step)
        for (size_t i = 0, j = 0, before = 0; before + 1 < l->n; i++, before = j) {
            while (j + 1 < l->n && l->s[j + 1] - l->s[i] <= span * (1 + 1e-9))
                j++;
            if (j > before || i == 0)
                best = fmax(best,
                            hull_gap(j - i + 1, l->s + i, l->z + k * l->n + i, stack));
        }
    return best;
}

struct bench {
    struct lines rows, columns;
    struct bt_point *point;
    double *z;
    size_t *stack;
    struct bt_edge_work work;
};

static void fill(struct bench *b, const struct input *in)
{
    uint64_t state = 7;

    for (size_t j = 0; j < NY; j++)
        for (size_t i = 0; i < NX; i++) {
            const double x = (double)i / (NX - 1), y = (double)j / (NY - 1);
            const double z = in->surface(x, y) + in->noise * noise(&state);
            b->point[j * NX + i] = (struct bt_point){(double)i, (double)j};
            b->z[j * NX + i] = b->rows.z[j * NX + i] = b->columns.z[i * NY + j] = z;
        }
}

static double search(const struct bench *b)
{
    const struct bt_edge_search s = {.length = NX - 1, .width = NY - 1, .band = 0.1};
    struct bt_edge_result along, across;

    if (bt_edge_gap_search(POINTS, b->point, b->z, &s, BT_EDGE_ALONG, SPAN, &along,
                           NULL) != BT_OK ||
        bt_edge_gap_search(POINTS, b->point, b->z, &s, BT_EDGE_ACROSS, SPAN, &across,
                           NULL) != BT_OK)
        abort();
    return fmax(along.worst.gap, across.worst.gap);
}

static void agree(double a, double b)
{
    if (!(fabs(a - b) <= 1e-12)) {
        printf("the ways do not agree: %.17g and %.17g\n", a, b);
        exit(EXIT_FAILURE);
    }
}

/* Least time of several rounds, the ways in turn. */
static void compare(struct bench *b, const struct input *in, double best[2],
                    double *gap)
{
    double hull = HUGE_VAL, own = HUGE_VAL, whole = HUGE_VAL, few = HUGE_VAL,
           all = HUGE_VAL, got = 0, thin = 0;

    for (int round = 0; round < ROUNDS; round++) {
        double t[6];
        t[0] = now();
        whole_lines(&b->rows, b->stack);
        whole_lines(&b->columns, b->stack);
        t[1] = now();
        got = fmax(ours(&b->rows, SPAN, 1, &b->work),
                   ours(&b->columns, SPAN, 1, &b->work));
        t[2] = now();
        agree(search(b), got);
        t[3] = now();
        thin = fmax(ours(&b->rows, SPAN, THIN, &b->work),
                    ours(&b->columns, SPAN, THIN, &b->work));
        t[4] = now();
        agree(fmax(naive(&b->rows, SPAN, THIN, b->stack),
                   naive(&b->columns, SPAN, THIN, b->stack)),
              thin);
        t[5] = now();
        hull = fmin(hull, t[1] - t[0]);
        own = fmin(own, t[2] - t[1]);
        whole = fmin(whole, t[3] - t[2]);
        few = fmin(few, t[4] - t[3]);
        all = fmin(all, t[5] - t[4]);
    }
    printf("%-22s hulls %6.1f  ours %6.1f  ratio %5.2f  with gathering %6.1f  "
           "ours/naive %6.4f\n",
           in->name, hull, own, own / hull, whole, few / all);
    best[0] = own;
    best[1] = whole;
    *gap = got;
}

/* Windows of few points, where the naive way has least to do. */
static void short_spans(struct bench *b)
{
    static const double span[] = {0.5, 2, 3, 5, 8, 12, 20, 40};

    for (size_t k = 0; k < sizeof span / sizeof *span; k++) {
        double own = HUGE_VAL, all = HUGE_VAL;
        for (int round = 0; round < ROUNDS; round++) {
            const double t0 = now();
            const double got = ours(&b->rows, span[k], 4, &b->work);
            const double t1 = now();
            const double want = naive(&b->rows, span[k], 4, b->stack);
            const double t2 = now();
            agree(got, want);
            own = fmin(own, t1 - t0);
            all = fmin(all, t2 - t1);
        }
        printf("span %4.1f mm: ours/naive %.2f\n", span[k], own / all);
    }
}

/* The peer reads the heights, prints the gap in mm and its time in ms. */
static void compare_peer(const struct bench *b, char *argv[], const double own[2],
                         double gap)
{
    char name[] = "/tmp/bench_straightedge_XXXXXX", command[1024];
    const int fd = mkstemp(name);
    FILE *file = fd < 0 ? NULL : fdopen(fd, "wb");
    double peer_gap = NAN, peer_ms = NAN;

    if (!file || fwrite(b->z, sizeof *b->z, POINTS, file) != POINTS || fclose(file))
        abort();
    snprintf(command, sizeof command, "'%s' '%s' '%s' %d %d %d", argv[1], argv[2], name,
             NX, NY, SPAN);
    file = popen(command, "r");
    if (!file || fscanf(file, "%lf %lf", &peer_gap, &peer_ms) != 2) {
        printf("NumPy: not run\n");
    } else {
        agree(peer_gap, gap);
        printf("NumPy %.0f ms, %.0f times ours, %.0f times with gathering\n", peer_ms,
               peer_ms / own[0], peer_ms / own[1]);
    }
    if (file)
        pclose(file);
    remove(name);
}

int main(int argc, char *argv[])
{
    struct bench b = {.rows = make_lines(NY, NX), .columns = make_lines(NX, NY)};
    double own[2], gap;

    b.point = malloc(POINTS * sizeof *b.point);
    b.z = malloc(POINTS * sizeof *b.z);
    b.stack = malloc(NX * sizeof *b.stack);
    if (!b.point || !b.z || !b.stack || !bt_edge_work_fit(&b.work, NX))
        abort();
    for (size_t k = 0; k < sizeof inputs / sizeof *inputs; k++) {
        fill(&b, &inputs[k]);
        compare(&b, &inputs[k], own, &gap);
        if (inputs[k].noise > 0 &&
            (inputs[k].surface == panel || inputs[k].surface == flat))
            short_spans(&b);
        if (k == 0 && argc == 3)
            compare_peer(&b, argv, own, gap);
    }
    bt_edge_work_clear(&b.work);
    free(b.rows.s);
    free(b.rows.z);
    free(b.columns.s);
    free(b.columns.z);
    free(b.point);
    free(b.z);
    free(b.stack);
    return EXIT_SUCCESS;
}
