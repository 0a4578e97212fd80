/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "draw/contour.h"

#include <math.h>
#include <string.h>

#include "benchtrue/base/alloc.h"

/*
 * A corner at the level counts as above, so that a line never runs through a corner
 * but always across half-edges from a corner that is in to one that is out: no case
 * is special, ties only give points that fall together.
 */
struct walk {
    const struct mesh *mesh;
    double level;
    bool *seen; /* of each half-edge */
    struct contours *out;
    bool failed;
};

void contours_clear(struct contours *contours)
{
    bt_free(contours->path);
    bt_free(contours->point);
    memset(contours, 0, sizeof *contours);
}

static bool in(const struct walk *w, size_t corner)
{
    return w->mesh->z[corner] >= w->level;
}

static size_t from(const struct walk *w, size_t h)
{
    return w->mesh->tri[h];
}

static size_t to(const struct walk *w, size_t h)
{
    return w->mesh->tri[mesh_next(h)];
}

static bool leaves(const struct walk *w, size_t h)
{
    return in(w, from(w, h)) && !in(w, to(w, h));
}

static void begin(struct walk *w, bool closed)
{
    struct contours *c = w->out;
    struct contour_path *path =
        bt_grow(c->path, &c->path_room, c->npath + 1, sizeof *path);

    if (!path) {
        w->failed = true;
        return;
    }
    c->path = path;
    c->path[c->npath++] = (struct contour_path){c->npoint, 0, closed};
}

static void add(struct walk *w, struct bt_point p)
{
    struct contours *c = w->out;
    struct bt_point *point =
        w->failed ? NULL
                  : bt_grow(c->point, &c->point_room, c->npoint + 1, sizeof *point);

    if (!point) {
        w->failed = true;
        return;
    }
    c->point = point;
    c->point[c->npoint++] = p;
    c->path[c->npath - 1].count++;
}

/* Where a half-edge crosses the level, reckoned from the corner that is in, so that
 * both triangles get the same point. */
static void add_crossing(struct walk *w, size_t h)
{
    size_t high = from(w, h), low = to(w, h);
    const struct bt_point *p = w->mesh->p;
    double t;

    if (!in(w, high)) {
        high = low;
        low = from(w, h);
    }
    t = (w->mesh->z[high] - w->level) / (w->mesh->z[high] - w->mesh->z[low]);
    add(w, (struct bt_point){p[high].x + t * (p[low].x - p[high].x),
                             p[high].y + t * (p[low].y - p[high].y)});
}

/* The half-edge by which the line that entered a triangle at h leaves it. */
static size_t way_out(const struct walk *w, size_t h)
{
    size_t g = mesh_next(h);

    return in(w, to(w, g)) ? g : mesh_next(g);
}

/* Along the rim from half-edge g, which comes in, to the one that goes out again. */
static size_t follow_rim(struct walk *w, size_t g)
{
    for (;;) {
        g = mesh_rim_next(w->mesh, g);
        add(w, w->mesh->p[from(w, g)]);
        if (!in(w, to(w, g)) || w->seen[g])
            return g;
        w->seen[g] = true;
    }
}

static void walk_region(struct walk *w, size_t h)
{
    begin(w, true);
    while (!w->seen[h] && !w->failed) {
        size_t g = way_out(w, h);

        w->seen[h] = true;
        add_crossing(w, h);
        if (w->mesh->twin[g] != MESH_EDGE) {
            h = w->mesh->twin[g];
        } else {
            add_crossing(w, g);
            h = follow_rim(w, g);
        }
    }
}

/* A rim that lies in the region all the way round. */
static void walk_rim(struct walk *w, size_t h)
{
    begin(w, true);
    while (!w->seen[h] && !w->failed) {
        w->seen[h] = true;
        add(w, w->mesh->p[from(w, h)]);
        h = mesh_rim_next(w->mesh, h);
    }
}

static void walk_line(struct walk *w, size_t h, bool closed)
{
    begin(w, closed);
    while (!w->seen[h] && !w->failed) {
        size_t g = way_out(w, h);

        w->seen[h] = true;
        add_crossing(w, h);
        h = w->mesh->twin[g];
        if (h == MESH_EDGE) {
            add_crossing(w, g);
            return;
        }
    }
}

static enum bt_status start(struct walk *w, struct bt_error *err)
{
    w->seen = bt_alloc(3 * w->mesh->ntri, sizeof *w->seen);
    return w->seen ? BT_OK : mesh_no_memory(err);
}

static enum bt_status finish(struct walk *w, struct bt_error *err)
{
    bt_free(w->seen);
    return w->failed ? mesh_no_memory(err) : BT_OK;
}

enum bt_status contour_region(const struct mesh *mesh, double level,
                              struct contours *out, struct bt_error *err)
{
    struct walk w = {.mesh = mesh, .level = level, .out = out};
    enum bt_status status = start(&w, err);

    if (status != BT_OK)
        return status;
    for (size_t h = 0; h < 3 * mesh->ntri && !w.failed; h++)
        if (!w.seen[h] && leaves(&w, h))
            walk_region(&w, h);
    for (size_t h = 0; h < 3 * mesh->ntri && !w.failed; h++)
        if (!w.seen[h] && mesh->twin[h] == MESH_EDGE && in(&w, from(&w, h)) &&
            in(&w, to(&w, h)))
            walk_rim(&w, h);
    return finish(&w, err);
}

enum bt_status contour_lines(const struct mesh *mesh, double level,
                             struct contours *out, struct bt_error *err)
{
    struct walk w = {.mesh = mesh, .level = level, .out = out};
    enum bt_status status = start(&w, err);

    if (status != BT_OK)
        return status;
    for (size_t h = 0; h < 3 * mesh->ntri && !w.failed; h++)
        if (!w.seen[h] && mesh->twin[h] == MESH_EDGE && leaves(&w, h))
            walk_line(&w, h, false);
    for (size_t h = 0; h < 3 * mesh->ntri && !w.failed; h++)
        if (!w.seen[h] && leaves(&w, h))
            walk_line(&w, h, true);
    return finish(&w, err);
}
