/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "draw/grid.h"

#include <math.h>
#include <string.h>

#include "benchtrue/base/alloc.h"
#include "draw/sort.h"

void grid_clear(struct grid *grid)
{
    bt_free(grid->x);
    bt_free(grid->y);
    bt_free(grid->z);
    bt_free(grid->column);
    bt_free(grid->row);
    memset(grid, 0, sizeof *grid);
}

/*
 * Gather coordinates that follow each other by no more than same.  Returns how many
 * such groups there are, 0 where one is wider than twice same; mean[] gets their
 * middle.
 */
static size_t gather(size_t n, const double at[], double same, size_t order[],
                     size_t group[], double mean[])
{
    size_t count = 0, from = 0;

    for (size_t i = 0; i < n; i++)
        order[i] = i;
    sort_by_key(n, order, at);
    for (size_t k = 0; k < n; k++) {
        if (k > 0 && at[order[k]] - at[order[k - 1]] > same) {
            mean[count - 1] /= (double)(k - from);
            from = k;
        }
        if (k == from)
            mean[count++] = 0;
        else if (at[order[k]] - at[order[from]] > 2 * same)
            return 0;
        group[order[k]] = count - 1;
        mean[count - 1] += at[order[k]];
    }
    mean[count - 1] /= (double)(n - from);
    return count;
}

static void fill_nodes(size_t n, const double z[], struct grid *g, size_t count[])
{
    for (size_t i = 0; i < n; i++) {
        size_t node = g->row[i] * g->nx + g->column[i];

        count[node]++;
        g->z[node] += z[i];
    }
    for (size_t node = 0; node < g->nx * g->ny; node++)
        g->z[node] = count[node] ? g->z[node] / (double)count[node] : NAN;
}

/* Whether at least half of the cells have four corners read. */
static bool well_read(const struct grid *g, const size_t count[])
{
    size_t whole = 0;

    for (size_t j = 0; j + 1 < g->ny; j++)
        for (size_t i = 0; i + 1 < g->nx; i++) {
            const size_t *c = count + j * g->nx + i;

            whole += c[0] && c[1] && c[g->nx] && c[g->nx + 1];
        }
    return 2 * whole >= (g->nx - 1) * (g->ny - 1);
}

enum bt_status grid_find(size_t n, const struct bt_point p[], const double z[],
                         double same, struct grid *g, bool *found)
{
    double *at = bt_alloc(n, sizeof *at);
    size_t *order = bt_alloc(n, sizeof *order), *count = NULL;
    enum bt_status status = BT_ENOMEM;

    *found = false;
    *g = (struct grid){.x = bt_alloc(n, sizeof(double)),
                       .y = bt_alloc(n, sizeof(double)),
                       .column = bt_alloc(n, sizeof(size_t)),
                       .row = bt_alloc(n, sizeof(size_t))};
    if (!at || !order || !g->x || !g->y || !g->column || !g->row)
        goto done;
    for (size_t i = 0; i < n; i++)
        at[i] = p[i].x;
    g->nx = gather(n, at, same, order, g->column, g->x);
    for (size_t i = 0; i < n; i++)
        at[i] = p[i].y;
    g->ny = gather(n, at, same, order, g->row, g->y);
    status = BT_OK;
    if (g->nx < 2 || g->ny < 2 || g->nx > 2 * n / g->ny)
        goto done;
    count = bt_alloc(g->nx * g->ny, sizeof *count);
    g->z = bt_alloc(g->nx * g->ny, sizeof *g->z);
    if (!count || !g->z) {
        status = BT_ENOMEM;
        goto done;
    }
    fill_nodes(n, z, g, count);
    *found = well_read(g, count);
done:
    bt_free(at);
    bt_free(order);
    bt_free(count);
    return status;
}
