/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/surface/ripple.h"

#include <math.h>

#include "surface/facets_fit.h"
#include "surface/network_private.h"

static enum bt_status check(size_t n, const double joint[], const int sign[],
                            const struct bt_rectangle *r, struct bt_error *err)
{
    if (!(r->x1 > r->x0) || !(r->y1 > r->y0))
        return bt_error_set(err, BT_EINPUT, 0, 0, "the panel's rectangle has no area");
    for (size_t j = 0; j < n; j++)
        if (!(joint[j] > (j ? joint[j - 1] : r->y0)) || !(joint[j] < r->y1))
            return bt_error_set(err, BT_EINPUT, j, 0,
                                "joint %zu does not lie within the panel, in front of "
                                "the one before",
                                j + 1);
    for (size_t b = 0; b <= n; b++)
        if (sign[b] != 1 && sign[b] != -1)
            return bt_error_set(err, BT_EINPUT, b, 0, "a board's sign is +1 or -1");
    return BT_OK;
}

static const struct bt_measured not_seen = {NAN, NAN, false};

/* Both models have as many terms; where both see the last of theirs the penalties of
 * the criterion are alike and half the difference is that of the sums of squares. */
static void compare(const struct bt_facets_fit *r, const struct bt_facets_fit *s,
                    struct bt_ripple *ripple)
{
    if (!bt_facets_fit_sees(r, BT_FACETS_COMMON))
        return;
    ripple->curvature =
        (struct bt_measured){bt_facets_fit_value(r, BT_FACETS_COMMON),
                             bt_facets_fit_u(r, BT_FACETS_COMMON), true};
    if (bt_facets_fit_sees(s, BT_FACETS_COMMON) && r->rank == s->rank)
        ripple->ahead = (s->chi_square - r->chi_square) / 2;
}

enum bt_status bt_ripple_fit(const struct bt_network *net, size_t n,
                             const double joint[], const int sign[],
                             const struct bt_rectangle *rectangle,
                             struct bt_ripple *ripple, struct bt_error *err)
{
    const struct bt_facets_model rippled = {rectangle, false, n, joint, sign};
    const struct bt_facets_model smooth = {rectangle, true, 0, NULL, NULL};
    struct bt_ripple made = {.curvature = not_seen, .ahead = NAN};
    struct bt_facets_fit r = {0}, s = {0};
    enum bt_status status = check(n, joint, sign, rectangle, err);

    if (status != BT_OK)
        return status;
    if (net->inverse) {
        const struct bt_system *sys = &((const struct bt_inverse *)net->inverse)->sys;

        status = bt_facets_fit_make(sys, &rippled, &r);
        if (status == BT_OK)
            status = bt_facets_fit_make(sys, &smooth, &s);
        if (status == BT_OK)
            compare(&r, &s, &made);
        bt_facets_fit_clear(&r);
        bt_facets_fit_clear(&s);
    }
    if (status != BT_OK)
        return bt_error_set(err, status, 0, 0, "%s", bt_status_text(status));
    *ripple = made;
    return BT_OK;
}
