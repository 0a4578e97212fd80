/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "surface/shared.h"

#include <math.h>

#include "benchtrue/base/alloc.h"
#include "surface/correcting.h"
#include "surface/dense.h"
#include "surface/network_private.h"

bool bt_shared_next(const struct bt_readings *r, size_t *group, double dy[])
{
    struct bt_correction c;

    if (!bt_correction_next(r, group, &c))
        return false;
    bt_correction_column(r, &c, dy);
    for (size_t i = 0; i < r->nobs; i++)
        dy[i] *= c.u;
    return true;
}

/* ---- rounding that may be one error ---- */

/* The next reading that has its number first; false when there is none. */
static bool next_number(size_t n, const struct bt_obs obs[], size_t *at)
{
    for (; *at < n; ++*at) {
        size_t before = 0;

        while (before < *at && obs[before].alike != obs[*at].alike)
            before++;
        if (obs[*at].alike > 0 && before == *at)
            return true;
    }
    return false;
}

static size_t count_from(size_t n, const struct bt_obs obs[], size_t first)
{
    size_t count = 0;

    for (size_t i = first; i < n; i++)
        count += obs[i].alike == obs[first].alike;
    return count;
}

/* Readings that share their number with another. */
static size_t count_alike(size_t n, const struct bt_obs obs[])
{
    size_t count = 0;

    for (size_t first = 0; next_number(n, obs, &first); first++) {
        const size_t members = count_from(n, obs, first);

        count += members > 1 ? members : 0;
    }
    return count;
}

double bt_alike_of_readings(const struct bt_readings *r, const double effect[])
{
    struct bt_alike a = {0};
    double both = 0;

    for (size_t first = 0; next_number(r->nobs, r->obs, &first); first++) {
        double sum = 0;

        if (count_from(r->nobs, r->obs, first) < 2)
            continue;
        for (size_t i = first; i < r->nobs; i++)
            if (r->obs[i].alike == r->obs[first].alike) {
                bt_alike_add(&a, r->obs[i].alike, effect[i]);
                sum += effect[i];
            }
        both += sum * sum;
    }
    return count_alike(r->nobs, r->obs) > BT_ALIKE_MOST ? both : bt_alike_more(&a);
}

/* One row for each reading of the number that obs[first] has; dy[nobs] all 0. */
static enum bt_status keep_rows(struct bt_network *net, const struct bt_obs obs[],
                                size_t first, double dy[])
{
    enum bt_status status = BT_OK;

    for (size_t i = first; i < net->nobs && status == BT_OK; i++) {
        if (obs[i].alike != obs[first].alike)
            continue;
        dy[i] = obs[i].u;
        status = bt_network_response(net, dy, net->alike + net->nalike * net->npoint);
        dy[i] = 0;
        net->alike_of[net->nalike++] = obs[i].alike;
    }
    return status;
}

/* The common error of a number on top of independent ones. */
static enum bt_status share_all(struct bt_network *net, const struct bt_obs obs[],
                                size_t first, double dy[])
{
    for (size_t i = 0; i < net->nobs; i++)
        dy[i] = obs[i].alike == obs[first].alike ? obs[i].u : 0;
    return bt_network_share(net, dy);
}

enum bt_status bt_network_alike(struct bt_network *net)
{
    const struct bt_obs *obs = ((const struct bt_inverse *)net->inverse)->sys.obs;
    const size_t n = count_alike(net->nobs, obs);
    const bool many = n > BT_ALIKE_MOST;
    double *dy;
    enum bt_status status = BT_OK;

    if (!n)
        return BT_OK;
    dy = bt_alloc(net->nobs, sizeof *dy);
    if (!many) {
        net->alike = bt_alloc(n * net->npoint, sizeof *net->alike);
        net->alike_of = bt_alloc(n, sizeof *net->alike_of);
    }
    if (!dy || (!many && (!net->alike || !net->alike_of)))
        status = BT_ENOMEM;
    for (size_t first = 0; status == BT_OK && next_number(net->nobs, obs, &first);
         first++)
        if (count_from(net->nobs, obs, first) > 1)
            status = (many ? share_all : keep_rows)(net, obs, first, dy);
    bt_free(dy);
    return status;
}
