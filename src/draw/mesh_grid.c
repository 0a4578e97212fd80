/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "benchtrue/base/alloc.h"
#include "draw/grid.h"
#include "draw/mesh.h"

enum { FINE_MOST = 40000 }; /* corners of a grid made finer */

/* Into how many parts a cell is cut, so that lines curve as the surface does. */
static size_t parts_for(const struct grid *g, double fine)
{
    double wide = (g->x[g->nx - 1] - g->x[0]) / (double)(g->nx - 1);
    double deep = (g->y[g->ny - 1] - g->y[0]) / (double)(g->ny - 1);
    double parts = ceil(fmax(wide, deep) / (2 * fine));
    double most = floor(sqrt((double)FINE_MOST / (double)(g->nx * g->ny)));

    parts = fmin(parts, fmin(most, 16));
    return parts > 1 ? (size_t)parts : 1;
}

static bool full(const struct grid *g, size_t i, size_t j)
{
    const double *z = g->z + j * g->nx + i;

    return isfinite(z[0]) && isfinite(z[1]) && isfinite(z[g->nx]) &&
           isfinite(z[g->nx + 1]);
}

/* Which cell a corner of the finer grid lies in, and where; the last one belongs to the
 * cell before it. */
static size_t cell_of(size_t k, size_t parts, size_t n, double *share)
{
    size_t cell = k / parts;

    if (cell == n - 1)
        cell--;
    *share = (double)(k - cell * parts) / (double)parts;
    return cell;
}

/* Bilinear; a weight of 0 must not spread a NaN. */
static double height(const struct grid *g, size_t i, size_t j, double s, double t)
{
    const double *z = g->z + j * g->nx + i;
    const double w[4] = {(1 - s) * (1 - t), s * (1 - t), (1 - s) * t, s * t};
    const double v[4] = {z[0], z[1], z[g->nx], z[g->nx + 1]};
    double sum = 0;

    for (int k = 0; k < 4; k++)
        sum += w[k] > 0 ? w[k] * v[k] : 0;
    return sum;
}

static void fill_corners(const struct grid *g, size_t parts, size_t mx, size_t my,
                         struct mesh *mesh)
{
    for (size_t b = 0; b < my; b++) {
        for (size_t a = 0; a < mx; a++) {
            double s, t;
            size_t i = cell_of(a, parts, g->nx, &s), j = cell_of(b, parts, g->ny, &t);

            mesh->p[b * mx + a] =
                (struct bt_point){g->x[i] + s * (g->x[i + 1] - g->x[i]),
                                  g->y[j] + t * (g->y[j + 1] - g->y[j])};
            mesh->z[b * mx + a] = height(g, i, j, s, t);
        }
    }
}

static void add_square(struct mesh *mesh, size_t v, size_t mx, bool other)
{
    const size_t a = v, b = v + 1, c = v + mx + 1, d = v + mx;
    const size_t one[6] = {a, b, c, a, c, d}, two[6] = {a, b, d, b, c, d};

    for (int k = 0; k < 6; k++)
        mesh->tri[3 * mesh->ntri + (size_t)k] = other ? two[k] : one[k];
    mesh->ntri += 2;
}

static enum bt_status fill(const struct grid *g, double fine, struct mesh *mesh,
                           struct bt_error *err)
{
    size_t parts = parts_for(g, fine);
    size_t mx = (g->nx - 1) * parts + 1, my = (g->ny - 1) * parts + 1;

    mesh->kind = MESH_GRID;
    mesh->n = mx * my;
    mesh->p = bt_alloc(mesh->n, sizeof *mesh->p);
    mesh->z = bt_alloc(mesh->n, sizeof *mesh->z);
    mesh->tri = bt_alloc(6 * (mx - 1) * (my - 1), sizeof *mesh->tri);
    if (!mesh->p || !mesh->z || !mesh->tri)
        return mesh_no_memory(err);
    fill_corners(g, parts, mx, my, mesh);
    for (size_t b = 0; b + 1 < my; b++)
        for (size_t a = 0; a + 1 < mx; a++)
            if (full(g, a / parts, b / parts))
                add_square(mesh, b * mx + a, mx, (a + b) % 2);
    return BT_OK;
}

enum bt_status mesh_grid(size_t n, const struct bt_point p[], const double z[],
                         const struct mesh_options *options, struct mesh *mesh,
                         bool *found, struct bt_error *err)
{
    struct grid grid;
    enum bt_status status = grid_find(n, p, z, options->same, &grid, found);

    if (status != BT_OK)
        status = mesh_no_memory(err);
    else if (*found)
        status = fill(&grid, options->fine, mesh, err);
    grid_clear(&grid);
    return status;
}
