/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "benchtrue/base/alloc.h"
#include "draw/mesh.h"

struct raster {
    double x0, y0, side;
    size_t nx, ny;
};

struct square {
    double x, y, z; /* sums */
    size_t count;   /* with a height */
};

static struct raster lay_raster(size_t n, const struct bt_point p[], double side)
{
    double x0 = p[0].x, x1 = p[0].x, y0 = p[0].y, y1 = p[0].y;
    double most;

    for (size_t i = 1; i < n; i++) {
        x0 = fmin(x0, p[i].x);
        x1 = fmax(x1, p[i].x);
        y0 = fmin(y0, p[i].y);
        y1 = fmax(y1, p[i].y);
    }
    /* No more squares along a side than a page has room for. */
    most = fmax(x1 - x0, y1 - y0) / 500;
    if (!(side >= most))
        side = most;
    if (!(side > 0))
        side = 1;
    return (struct raster){x0, y0, side, (size_t)((x1 - x0) / side) + 1,
                           (size_t)((y1 - y0) / side) + 1};
}

static void sum_up(size_t n, const struct bt_point p[], const double z[],
                   const struct raster *r, struct square square[])
{
    const double scale = 1 / r->side;

    for (size_t i = 0; i < n; i++) {
        size_t kx = (size_t)((p[i].x - r->x0) * scale);
        size_t ky = (size_t)((p[i].y - r->y0) * scale);
        struct square *s = &square[(ky < r->ny ? ky : r->ny - 1) * r->nx +
                                   (kx < r->nx ? kx : r->nx - 1)];

        if (!isfinite(z[i]))
            continue;
        s->x += p[i].x;
        s->y += p[i].y;
        s->z += z[i];
        s->count++;
    }
}

enum bt_status mesh_average(size_t n, const struct bt_point p[], const double z[],
                            double side, struct mesh *mesh, struct bt_error *err)
{
    struct raster r = lay_raster(n, p, side);
    struct square *square = bt_alloc(r.nx * r.ny, sizeof *square);
    size_t filled = 0;

    if (!square)
        return mesh_no_memory(err);
    sum_up(n, p, z, &r, square);
    for (size_t k = 0; k < r.nx * r.ny; k++)
        filled += square[k].count > 0;
    mesh->p = bt_alloc(filled, sizeof *mesh->p);
    mesh->z = bt_alloc(filled, sizeof *mesh->z);
    if (!mesh->p || !mesh->z) {
        bt_free(square);
        return mesh_no_memory(err);
    }
    for (size_t k = 0; k < r.nx * r.ny; k++) {
        double count = (double)square[k].count;

        if (square[k].count == 0)
            continue;
        mesh->p[mesh->n] = (struct bt_point){square[k].x / count, square[k].y / count};
        mesh->z[mesh->n++] = square[k].z / count;
    }
    mesh->cell = r.side;
    bt_free(square);
    return BT_OK;
}
