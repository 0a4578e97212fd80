/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_DRAW_MESH_H
#define BENCHTRUE_DRAW_MESH_H

#include <stdbool.h>
#include <stddef.h>

#include "benchtrue/base/status.h"
#include "benchtrue/surface/readings.h"

/* How heights between the readings are had. */
enum mesh_kind { MESH_NONE, MESH_GRID, MESH_TRIANGLES, MESH_AVERAGED };

#define MESH_EDGE ((size_t)-1) /* no triangle on the other side */

/*
 * Triangles with a height at each corner.  Half-edge h runs from tri[h] to
 * tri[mesh_next(h)] in triangle h/3; all triangles have the same orientation, and
 * every one has three finite heights.
 */
struct mesh {
    enum mesh_kind kind;
    size_t n; /* corners; some may be in no triangle */
    struct bt_point *p;
    double *z;
    size_t ntri;
    size_t *tri;    /* [3 ntri] */
    size_t *twin;   /* [3 ntri] the half-edge on the other side, or MESH_EDGE */
    double cell;    /* MESH_AVERAGED: side of the squares, mm */
    double longest; /* MESH_TRIANGLES, MESH_AVERAGED: longest side kept, mm */
};

struct mesh_options {
    double same; /* places nearer to a row and a column of a grid are on it, mm */
    double fine; /* about 1 mm on paper, in mm of the panel, > 0 */
};

enum { MESH_DIRECT = 20000 }; /* more places than this are averaged first */

/*
 * Build the mesh for n places p with heights z (NaN: not seen), all p finite.  Without
 * three places that span an area and have heights the mesh has no triangle and kind
 * MESH_NONE.
 *
 * Returns BT_OK, BT_ENOMEM or BT_EWRITE (qhull's words).  Free with mesh_clear, also
 * after an error.
 */
enum bt_status mesh_build(size_t n, const struct bt_point p[], const double z[],
                          const struct mesh_options *options, struct mesh *mesh,
                          struct bt_error *err);

/* From triangles alone, ntri triples of corners: turns them all one way round, leaves
 * out those without area or with a NaN height, and finds the neighbours.  mesh->n, p,
 * z, tri and ntri are set before. */
enum bt_status mesh_finish(struct mesh *mesh, struct bt_error *err);

void mesh_clear(struct mesh *mesh);

static inline size_t mesh_next(size_t h)
{
    return h % 3 == 2 ? h - 2 : h + 1;
}

/* The half-edge of the mesh's rim that follows h, itself on the rim. */
size_t mesh_rim_next(const struct mesh *mesh, size_t h);

/* Steps of the building, each in its own file. */

/* *found false: the places are no grid. */
enum bt_status mesh_grid(size_t n, const struct bt_point p[], const double z[],
                         const struct mesh_options *options, struct mesh *mesh,
                         bool *found, struct bt_error *err);

/* Means over squares of about the given side; the new arrays are mesh's. */
enum bt_status mesh_average(size_t n, const struct bt_point p[], const double z[],
                            double side, struct mesh *mesh, struct bt_error *err);

/* Delaunay triangles over mesh->p; fills tri, ntri, longest. */
enum bt_status mesh_delaunay(struct mesh *mesh, struct bt_error *err);

enum bt_status mesh_no_memory(struct bt_error *err);

#endif
