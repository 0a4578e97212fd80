/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/judge/chalk.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "benchtrue/base/alloc.h"

/* A grid that is chosen has no more cells than this: more are not chalked. */
enum { CHOSEN_COLUMNS = 12, CHOSEN_ROWS = 8 };

void bt_chalk_clear(struct bt_chalk *chalk)
{
    if (!chalk)
        return;
    bt_free(chalk->cell);
    memset(chalk, 0, sizeof *chalk);
}

/* How many different places along one axis, up to `most` + 1; coordinates closer than
 * `same` are one.  Places are few enough where it matters: it stops at most + 1. */
static size_t different(size_t n, const struct bt_point p[], bool along, double same,
                        size_t most)
{
    double seen[BT_CHALK_ROWS_MOST + 1];
    size_t count = 0;

    for (size_t i = 0; i < n && count <= most; i++) {
        const double at = along ? p[i].x : p[i].y;
        size_t k = 0;

        while (k < count && !(fabs(seen[k] - at) <= same))
            k++;
        if (k == count)
            seen[count++] = at;
    }
    return count;
}

/* Even parts of some readings, no more than most. */
static size_t even_parts(size_t readings, size_t most)
{
    const size_t each = (readings + most - 1) / most;

    return (readings + each - 1) / each;
}

static size_t clamp_count(double count, size_t most)
{
    return (size_t)fmax(1.0, fmin(floor(count), (double)most));
}

static void choose(size_t n, const struct bt_point p[], const struct bt_rectangle *r,
                   struct bt_chalk *chalk)
{
    const double length = r->x1 - r->x0, width = r->y1 - r->y0;
    const double same = 1e-3 * (length + width);
    const size_t across = different(n, p, true, same, BT_CHALK_COLUMNS_MOST);
    const size_t down = different(n, p, false, same, BT_CHALK_ROWS_MOST);
    const double side = sqrt(2.0 * length * width / (double)n);

    if (across <= BT_CHALK_COLUMNS_MOST && down <= BT_CHALK_ROWS_MOST &&
        across * down <= n + n / 5) {
        chalk->columns = even_parts(across, CHOSEN_COLUMNS);
        chalk->rows = even_parts(down, CHOSEN_ROWS);
        return;
    }
    chalk->columns = clamp_count(length / side, CHOSEN_COLUMNS);
    chalk->rows = clamp_count(width / side, CHOSEN_ROWS);
}

static size_t part_of(double at, double from, double to, size_t count)
{
    const double part = (at - from) / (to - from) * (double)count;

    return part > 0.0 ? (size_t)fmin(part, (double)(count - 1)) : 0;
}

static void name_cells(struct bt_chalk *chalk)
{
    for (size_t i = 0; i < chalk->columns * chalk->rows; i++) {
        struct bt_chalk_cell *c = &chalk->cell[i];

        /* 99 rows at most, which the compiler cannot know. */
        snprintf(c->name, sizeof c->name, "%c%u", (char)('A' + i % chalk->columns),
                 (unsigned)((i / chalk->columns + 1) % 100));
        c->depth = c->mean = c->at.x = c->at.y = NAN;
    }
}

static void fill_cells(size_t n, const struct bt_point p[], const double depth[],
                       struct bt_chalk *chalk)
{
    const struct bt_rectangle *r = &chalk->rectangle;

    for (size_t i = 0; i < n; i++) {
        const size_t column = part_of(p[i].x, r->x0, r->x1, chalk->columns);
        const size_t row = part_of(p[i].y, r->y0, r->y1, chalk->rows);
        struct bt_chalk_cell *c = &chalk->cell[row * chalk->columns + column];

        if (isnan(depth[i]))
            continue;
        if (!c->places++)
            c->mean = 0.0;
        c->mean += (depth[i] - c->mean) / (double)c->places;
        if (!(c->depth >= depth[i])) {
            c->depth = depth[i];
            c->at = p[i];
        }
    }
}

static enum bt_status check(size_t n, const struct bt_point p[], const double depth[],
                            const struct bt_rectangle *r, size_t columns, size_t rows,
                            struct bt_error *err)
{
    if (n == 0)
        return bt_error_set(err, BT_EINPUT, 0, 0, "there is no place");
    for (size_t i = 0; i < n; i++)
        if (!isfinite(p[i].x) || !isfinite(p[i].y) || isinf(depth[i]))
            return bt_error_set(err, BT_EINPUT, i, 0,
                                "place %zu is not finite or has no finite depth",
                                i + 1);
    if (!(r->x1 - r->x0 > 0.0) || !(r->y1 - r->y0 > 0.0) || !isfinite(r->x1 - r->x0) ||
        !isfinite(r->y1 - r->y0))
        return bt_error_set(err, BT_EINPUT, 0, 0, "the rectangle has no area");
    if (columns > BT_CHALK_COLUMNS_MOST || rows > BT_CHALK_ROWS_MOST)
        return bt_error_set(err, BT_EINPUT, 0, 0,
                            "a grid of %zu columns and %zu rows has too many, %d and "
                            "%d would do",
                            columns, rows, (int)BT_CHALK_COLUMNS_MOST,
                            (int)BT_CHALK_ROWS_MOST);
    return BT_OK;
}

enum bt_status bt_chalk_make(size_t n, const struct bt_point p[], const double depth[],
                             const struct bt_rectangle *rectangle, size_t columns,
                             size_t rows, struct bt_chalk *chalk, struct bt_error *err)
{
    struct bt_chalk made = {.rectangle = *rectangle};
    enum bt_status status = check(n, p, depth, rectangle, columns, rows, err);

    if (status != BT_OK)
        return status;
    choose(n, p, rectangle, &made);
    if (columns)
        made.columns = columns;
    if (rows)
        made.rows = rows;
    made.cell = bt_alloc(made.columns * made.rows, sizeof *made.cell);
    if (!made.cell)
        return bt_error_set(err, BT_ENOMEM, 0, 0, "no memory for the chalk marks");
    name_cells(&made);
    fill_cells(n, p, depth, &made);
    *chalk = made;
    return BT_OK;
}

struct bt_rectangle bt_chalk_sides(const struct bt_chalk *chalk, size_t cell)
{
    const struct bt_rectangle *r = &chalk->rectangle;
    const double wide = (r->x1 - r->x0) / (double)chalk->columns;
    const double deep = (r->y1 - r->y0) / (double)chalk->rows;
    const double column = (double)(cell % chalk->columns);
    const double row = (double)(cell / chalk->columns);

    return (struct bt_rectangle){r->x0 + wide * column, r->y0 + deep * row,
                                 r->x0 + wide * (column + 1.0),
                                 r->y0 + deep * (row + 1.0)};
}

/* Of equal depths the first cell counts as the higher, so that a level top is one
 * spot. */
static bool higher(const struct bt_chalk *chalk, size_t a, size_t b)
{
    const double da = chalk->cell[a].depth, db = chalk->cell[b].depth;

    return da > db || (da >= db && a < b);
}

static size_t way_up(const struct bt_chalk *chalk, size_t cell)
{
    const size_t column = cell % chalk->columns, row = cell / chalk->columns;
    size_t best = cell;

    for (size_t j = row ? row - 1 : 0; j <= row + 1 && j < chalk->rows; j++)
        for (size_t i = column ? column - 1 : 0; i <= column + 1 && i < chalk->columns;
             i++)
            if (higher(chalk, j * chalk->columns + i, best))
                best = j * chalk->columns + i;
    return best;
}

static void gather(const struct bt_chalk *chalk, double least, size_t ncell,
                   struct bt_chalk_spot all[])
{
    const struct bt_rectangle one = bt_chalk_sides(chalk, 0);
    const double area = (one.x1 - one.x0) * (one.y1 - one.y0);

    for (size_t i = 0; i < ncell; i++) {
        size_t at = i, up;

        if (!(chalk->cell[i].depth > least))
            continue;
        while ((up = way_up(chalk, at)) != at)
            at = up;
        all[at].cell = at;
        all[at].depth = chalk->cell[at].depth;
        all[at].cells++;
        all[at].volume += area * chalk->cell[i].mean;
    }
}

enum bt_status bt_chalk_spots(const struct bt_chalk *chalk, double least, size_t most,
                              struct bt_chalk_spot spot[], size_t *count,
                              struct bt_error *err)
{
    const size_t ncell = chalk->columns * chalk->rows;
    struct bt_chalk_spot *all;

    if (!(least >= 0.0) || !isfinite(least))
        return bt_error_set(err, BT_EINPUT, 0, 0,
                            "the least depth is not a finite number from 0 up");
    all = bt_alloc(ncell, sizeof *all);
    if (!all)
        return bt_error_set(err, BT_ENOMEM, 0, 0, "no memory for the high spots");
    gather(chalk, least, ncell, all);
    *count = 0;
    for (size_t found = 1; found; *count += found) {
        size_t best = ncell;

        for (size_t i = 0; i < ncell; i++)
            if (all[i].cells && (best == ncell || all[i].depth > all[best].depth))
                best = i;
        found = best < ncell;
        if (found) {
            if (*count < most)
                spot[*count] = all[best];
            all[best].cells = 0;
        }
    }
    bt_free(all);
    return BT_OK;
}
