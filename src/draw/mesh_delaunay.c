/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <libqhull_r/qhull_ra.h>

#include <math.h>
#include <stdio.h>

#include "benchtrue/base/alloc.h"
#include "draw/mesh.h"
#include "draw/sort.h"

/* A triangle with a side of more than this many median sides crosses what was not
 * read: a gap or a bay in a scan.  Of points thrown at random, one side in ten thousand
 * is as long. */
#define SIDE_MOST 6.0

static double side(const struct mesh *mesh, size_t h)
{
    const struct bt_point *a = &mesh->p[mesh->tri[h]];
    const struct bt_point *b = &mesh->p[mesh->tri[mesh_next(h)]];

    return hypot(b->x - a->x, b->y - a->y);
}

enum { SAMPLE = 4001 }; /* sides that the median is taken of */

static enum bt_status median_side(const struct mesh *mesh, double *median,
                                  struct bt_error *err)
{
    const size_t n3 = 3 * mesh->ntri, step = n3 / SAMPLE + 1;
    double *length = bt_alloc(SAMPLE, sizeof *length);
    size_t *order = bt_alloc(SAMPLE, sizeof *order), n = 0;

    *median = 0;
    if (!length || !order) {
        bt_free(length);
        bt_free(order);
        return mesh_no_memory(err);
    }
    for (size_t h = 0; h < n3 && n < SAMPLE; h += step, n++) {
        length[n] = side(mesh, h);
        order[n] = n;
    }
    sort_by_key(n, order, length);
    if (n)
        *median = length[order[n / 2]];
    bt_free(length);
    bt_free(order);
    return BT_OK;
}

static enum bt_status drop_long(struct mesh *mesh, struct bt_error *err)
{
    double median, longest;
    size_t kept = 0;
    enum bt_status status = median_side(mesh, &median, err);

    for (size_t t = 0; t < mesh->ntri && status == BT_OK; t++) {
        longest =
            fmax(side(mesh, 3 * t), fmax(side(mesh, 3 * t + 1), side(mesh, 3 * t + 2)));
        if (!(longest <= SIDE_MOST * median))
            continue;
        for (size_t k = 0; k < 3; k++)
            mesh->tri[3 * kept + k] = mesh->tri[3 * t + k];
        mesh->longest = fmax(mesh->longest, longest);
        kept++;
    }
    if (status == BT_OK)
        mesh->ntri = kept;
    return status;
}

/* Places about their middle, so that their squares keep the digits. */
static coordT *centred(const struct mesh *mesh)
{
    coordT *at = bt_alloc(2 * mesh->n, sizeof *at);
    double x = 0, y = 0;

    if (!at)
        return NULL;
    for (size_t i = 0; i < mesh->n; i++) {
        x += mesh->p[i].x / (double)mesh->n;
        y += mesh->p[i].y / (double)mesh->n;
    }
    for (size_t i = 0; i < mesh->n; i++) {
        at[2 * i] = mesh->p[i].x - x;
        at[2 * i + 1] = mesh->p[i].y - y;
    }
    return at;
}

/* The lower facets of the lifted points are the triangles; id n is qhull's own point
 * at infinity. */
static enum bt_status take_facets(qhT *qh, struct mesh *mesh, struct bt_error *err)
{
    facetT *facet;
    vertexT *vertex, **vertexp;

    mesh->tri = bt_alloc(3 * (size_t)qh->num_facets, sizeof *mesh->tri);
    if (!mesh->tri)
        return mesh_no_memory(err);
    FORALLfacets
    {
        size_t id[3] = {0}, count = 0;

        if (facet->upperdelaunay)
            continue;
        FOREACHvertex_(facet->vertices)
        {
            int point = qh_pointid(qh, vertex->point);
            if (count < 3 && point >= 0 && (size_t)point < mesh->n)
                id[count++] = (size_t)point;
        }
        if (count < 3)
            continue;
        for (size_t k = 0; k < 3; k++)
            mesh->tri[3 * mesh->ntri + k] = id[k];
        mesh->ntri++;
    }
    return BT_OK;
}

/* The first line of what qhull wrote. */
static enum bt_status qhull_failed(int code, char said[], struct bt_error *err)
{
    size_t i = 0;

    if (code == qh_ERRmem)
        return mesh_no_memory(err);
    while (said[i] && said[i] != '\n')
        i++;
    said[i] = '\0';
    return bt_error_set(err, BT_EWRITE, 0, 0, "no triangles: %s", said);
}

static enum bt_status run_qhull(struct mesh *mesh, coordT at[], struct bt_error *err)
{
    /* Qt: triangles only; Qz: points that all lie on one circle are in order; Qbb:
     * scaled lifting; Qc is left out, since repeated places may be dropped. */
    char command[] = "qhull d Qt Qz Qbb", said[256] = "";
    FILE *words = fmemopen(said, sizeof said, "w");
    enum bt_status status;
    int code, left, total;
    qhT qh;

    if (!words)
        return mesh_no_memory(err);
    qh_zero(&qh, words);
    code = qh_new_qhull(&qh, 2, (int)mesh->n, at, False, command, NULL, words);
    fflush(words);
    said[sizeof said - 1] = '\0';
    if (code == 0)
        status = take_facets(&qh, mesh, err);
    else if (code == qh_ERRsingular)
        status = BT_OK; /* all on one line: no triangle */
    else
        status = qhull_failed(code, said, err);
    qh_freeqhull(&qh, !qh_ALL);
    qh_memfreeshort(&qh, &left, &total);
    fclose(words);
    return status;
}

/* Whether three places at least are apart; qhull refuses fewer. */
static bool three_places(const struct mesh *mesh)
{
    size_t apart = 0;

    for (size_t i = 1; i < mesh->n && apart == 0; i++)
        if (mesh->p[i].x != mesh->p[0].x || mesh->p[i].y != mesh->p[0].y)
            apart = i;
    for (size_t i = apart + 1; i < mesh->n && apart > 0; i++) {
        double dx = mesh->p[apart].x - mesh->p[0].x,
               dy = mesh->p[apart].y - mesh->p[0].y;

        if (dx * (mesh->p[i].y - mesh->p[0].y) - dy * (mesh->p[i].x - mesh->p[0].x) !=
            0)
            return true;
    }
    return false;
}

enum bt_status mesh_delaunay(struct mesh *mesh, struct bt_error *err)
{
    enum bt_status status;
    coordT *at;

    if (!three_places(mesh))
        return BT_OK;
    at = centred(mesh);
    if (!at)
        return mesh_no_memory(err);
    status = run_qhull(mesh, at, err);
    bt_free(at);
    return status == BT_OK ? drop_long(mesh, err) : status;
}
