/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "draw/mesh.h"

#include <math.h>
#include <string.h>

#include "benchtrue/base/alloc.h"

enum bt_status mesh_no_memory(struct bt_error *err)
{
    return bt_error_set(err, BT_ENOMEM, 0, 0, "%s", bt_status_text(BT_ENOMEM));
}

void mesh_clear(struct mesh *mesh)
{
    bt_free(mesh->p);
    bt_free(mesh->z);
    bt_free(mesh->tri);
    bt_free(mesh->twin);
    memset(mesh, 0, sizeof *mesh);
}

static double area(const struct mesh *mesh, const size_t t[3])
{
    const struct bt_point *a = &mesh->p[t[0]], *b = &mesh->p[t[1]], *c = &mesh->p[t[2]];

    return ((b->x - a->x) * (c->y - a->y) - (b->y - a->y) * (c->x - a->x)) / 2;
}

static bool finite_heights(const struct mesh *mesh, const size_t t[3])
{
    return isfinite(mesh->z[t[0]]) && isfinite(mesh->z[t[1]]) &&
           isfinite(mesh->z[t[2]]);
}

static void keep_good(struct mesh *mesh)
{
    size_t kept = 0;

    for (size_t i = 0; i < mesh->ntri; i++) {
        size_t *t = mesh->tri + 3 * i;
        double a = area(mesh, t);

        if (!finite_heights(mesh, t) || !(fabs(a) > 0))
            continue;
        mesh->tri[3 * kept] = t[0];
        if (a > 0) {
            mesh->tri[3 * kept + 1] = t[1];
            mesh->tri[3 * kept + 2] = t[2];
        } else {
            size_t second = t[1];
            mesh->tri[3 * kept + 1] = t[2];
            mesh->tri[3 * kept + 2] = second;
        }
        kept++;
    }
    mesh->ntri = kept;
}

/* Half-edges sorted by where they start, start[v] to start[v + 1]. */
static void sort_by_start(const struct mesh *mesh, size_t start[], size_t list[])
{
    for (size_t h = 0; h < 3 * mesh->ntri; h++)
        start[mesh->tri[h] + 1]++;
    for (size_t v = 0; v < mesh->n; v++)
        start[v + 1] += start[v];
    for (size_t h = 3 * mesh->ntri; h-- > 0;)
        list[--start[mesh->tri[h] + 1]] = h;
    /* Now start[v + 1] is where v begins. */
    memmove(start, start + 1, mesh->n * sizeof *start);
    start[mesh->n] = 3 * mesh->ntri;
}

enum bt_status mesh_finish(struct mesh *mesh, struct bt_error *err)
{
    size_t *start, *list, n3;
    enum bt_status status = BT_OK;

    keep_good(mesh);
    n3 = 3 * mesh->ntri;
    start = bt_alloc(mesh->n + 1, sizeof *start);
    list = bt_alloc(n3, sizeof *list);
    mesh->twin = bt_alloc(n3, sizeof *mesh->twin);
    if (!start || !list || !mesh->twin) {
        status = mesh_no_memory(err);
        goto done;
    }
    sort_by_start(mesh, start, list);
    for (size_t h = 0; h < n3; h++)
        mesh->twin[h] = MESH_EDGE;
    for (size_t h = 0; h < n3; h++) {
        size_t from = mesh->tri[h], to = mesh->tri[mesh_next(h)];

        for (size_t k = start[to]; k < start[to + 1] && mesh->twin[h] == MESH_EDGE; k++)
            if (mesh->tri[mesh_next(list[k])] == from &&
                mesh->twin[list[k]] == MESH_EDGE) {
                mesh->twin[h] = list[k];
                mesh->twin[list[k]] = h;
            }
    }
done:
    bt_free(start);
    bt_free(list);
    if (mesh->ntri == 0)
        mesh->kind = MESH_NONE;
    return status;
}

size_t mesh_rim_next(const struct mesh *mesh, size_t h)
{
    h = mesh_next(h);
    while (mesh->twin[h] != MESH_EDGE)
        h = mesh_next(mesh->twin[h]);
    return h;
}

static enum bt_status copy_places(size_t n, const struct bt_point p[], const double z[],
                                  struct mesh *mesh, struct bt_error *err)
{
    mesh->p = bt_alloc(n, sizeof *mesh->p);
    mesh->z = bt_alloc(n, sizeof *mesh->z);
    if (!mesh->p || !mesh->z)
        return mesh_no_memory(err);
    memcpy(mesh->p, p, n * sizeof *p);
    memcpy(mesh->z, z, n * sizeof *z);
    mesh->n = n;
    return BT_OK;
}

/* Side of the squares that are averaged, mm on paper: a line drawn through them does
 * not look broken, and noise does not crowd the map. */
#define AVERAGE 1.4

enum bt_status mesh_build(size_t n, const struct bt_point p[], const double z[],
                          const struct mesh_options *options, struct mesh *mesh,
                          struct bt_error *err)
{
    enum bt_status status;
    bool found = false;

    memset(mesh, 0, sizeof *mesh);
    if (n > MESH_DIRECT) {
        mesh->kind = MESH_AVERAGED;
        status = mesh_average(n, p, z, AVERAGE * options->fine, mesh, err);
    } else {
        status = mesh_grid(n, p, z, options, mesh, &found, err);
        if (status == BT_OK && !found) {
            mesh->kind = MESH_TRIANGLES;
            status = copy_places(n, p, z, mesh, err);
        }
    }
    if (status == BT_OK && !found)
        status = mesh_delaunay(mesh, err);
    if (status == BT_OK)
        status = mesh_finish(mesh, err);
    return status;
}
