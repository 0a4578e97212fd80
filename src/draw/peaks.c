/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "draw/peaks.h"

#include <math.h>

#include "benchtrue/base/alloc.h"
#include "draw/sort.h"

/*
 * As water falls: edges come up in order of their lower end, highest first, and join
 * islands.  Where two meet, the lower top's drop is known.
 */
struct islands {
    const struct mesh *mesh;
    size_t *parent; /* [n] union-find; a root is its island's top */
    double *drop;   /* [n] of tops; -1 while the corner is in no triangle */
};

static size_t top_of(struct islands *s, size_t v)
{
    while (s->parent[v] != v) {
        s->parent[v] = s->parent[s->parent[v]];
        v = s->parent[v];
    }
    return v;
}

static void join(struct islands *s, size_t a, size_t b)
{
    const double *z = s->mesh->z;
    const double saddle = fmin(z[a], z[b]);
    size_t high = top_of(s, a), low = top_of(s, b);

    if (high == low)
        return;
    if (z[high] < z[low] || (z[high] == z[low] && high > low)) {
        size_t other = high;
        high = low;
        low = other;
    }
    s->drop[low] = z[low] - saddle;
    s->parent[low] = high;
}

static void join_all(struct islands *s, size_t n3, size_t order[], double key[])
{
    const struct mesh *mesh = s->mesh;
    size_t n = 0;

    for (size_t h = 0; h < n3; h++) {
        /* An edge within the mesh is two half-edges: one will do. */
        if (mesh->twin[h] == MESH_EDGE || h < mesh->twin[h])
            order[n++] = h;
        key[h] = -fmin(mesh->z[mesh->tri[h]], mesh->z[mesh->tri[mesh_next(h)]]);
        s->drop[mesh->tri[h]] = HUGE_VAL;
    }
    sort_by_key(n, order, key);
    for (size_t k = 0; k < n; k++)
        join(s, mesh->tri[order[k]], mesh->tri[mesh_next(order[k])]);
}

/* Keep the highest, in order. */
static void insert(struct peak peak[PEAKS_MAX], size_t *count, struct peak new)
{
    size_t k = *count;

    if (k == PEAKS_MAX && !(new.z > peak[k - 1].z))
        return;
    k = k < PEAKS_MAX ? (*count)++ : k - 1;
    for (; k > 0 && new.z > peak[k - 1].z; k--)
        peak[k] = peak[k - 1];
    peak[k] = new;
}

enum bt_status peaks_find(const struct mesh *mesh, double least,
                          struct peak peak[PEAKS_MAX], size_t *count,
                          struct bt_error *err)
{
    const size_t n3 = 3 * mesh->ntri;
    struct islands s = {mesh, bt_alloc(mesh->n, sizeof *s.parent),
                        bt_alloc(mesh->n, sizeof *s.drop)};
    size_t *order = bt_alloc(n3, sizeof *order);
    double *key = bt_alloc(n3, sizeof *key);
    enum bt_status status = BT_OK;

    *count = 0;
    if (!s.parent || !s.drop || !order || !key) {
        status = mesh_no_memory(err);
        goto done;
    }
    for (size_t v = 0; v < mesh->n; v++) {
        s.parent[v] = v;
        s.drop[v] = -1;
    }
    join_all(&s, n3, order, key);
    for (size_t v = 0; v < mesh->n; v++)
        if (s.drop[v] > least && mesh->z[v] > 0)
            insert(peak, count, (struct peak){v, mesh->z[v], s.drop[v]});
done:
    bt_free(s.parent);
    bt_free(s.drop);
    bt_free(order);
    bt_free(key);
    return status;
}
