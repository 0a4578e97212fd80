/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_SURFACE_FACETS_H
#define BENCHTRUE_SURFACE_FACETS_H

#include <stddef.h>

#include "benchtrue/base/status.h"
#include "benchtrue/surface/form.h"

enum bt_facets_preferred {
    BT_FACETS_FACETED,
    BT_FACETS_SMOOTH,
    BT_FACETS_TOO_CLOSE,
    BT_FACETS_NOT_SEEN
};

struct bt_kink {
    double y;                  /* of the joint, mm */
    struct bt_measured degree; /* kink, deg; positive: hollow at the face read */
};

struct bt_facets {
    size_t njoint;
    struct bt_kink *kink; /* [njoint], owned: free with bt_facets_clear */
    double *covariance; /* [njoint * njoint] of the kinks, deg2, owned; NaN where either
                           is not seen */
    enum bt_facets_preferred preferred;
    double aicc_faceted, aicc_smooth; /* NaN where not defined (too few readings) */
    double weight_faceted;            /* Akaike weight, NaN where not defined */
};

/*
 * A panel of flat boards hinged at its glue joints against one smooth arc: plane + bow
 * + twist + sum of kinks max(y - y_j, 0) against plane + bow + twist + cup, both fitted
 * to the readings (weighted, nuisance unknowns of the groups included), compared by
 * AICc with the stated u (K. P. Burnham, D. R. Anderson, Model Selection and Multimodel
 * Inference, 2nd ed. 2002, section 2.4, from memory): the weighted sum of squares for
 * -2 ln L, k the terms that the readings determine, n the readings less the nuisance
 * unknowns that they determine, which both models share.  Not defined where n - k - 1
 * is not above 0.  Preferred at an Akaike weight of 0.95.
 *
 *   net       the adjustment: gives the readings
 *   joint[n]  y of the joints, mm, strictly ascending, inside the rectangle
 *   facets    out, to be cleared with bt_facets_clear; untouched on error.  n 0 gives
 *             `not seen`, and so does a set that determines no kink or no cup, or for
 *             which a criterion is not defined
 *
 * A kink is the change of slope at the joint, in degrees (its arc, not its tangent: the
 * tilt of the panel is not known).  It is seen only where the readings determine it:
 * not at a joint beyond the places read, nor at two joints between neighbouring places.
 * Its u comes from the stated u, with errors that readings share (bt_network_share),
 * and so does the covariance: neighbouring kinks rest on the same board and mostly go
 * against each other; where the rounding of readings may be one error
 * (bt_network_alike) the correlations stay and both get the larger u.
 * sigma0 and these errors have no part in the comparison.  Solved by QR and singular
 * values, never by normal equations.  Source of the kinked model:
 * reference/metrology/definitions.md, "Segmented (faceted) profile".
 *
 * Returns BT_OK, BT_EINPUT (a joint out of order, outside or not a number: row is the
 * joint; a rectangle without area) or BT_ENOMEM.
 */
BT_API enum bt_status bt_facets_fit(const struct bt_network *net, size_t n,
                                    const double joint[],
                                    const struct bt_rectangle *rectangle,
                                    struct bt_facets *facets, struct bt_error *err);

/* NULL is accepted. */
BT_API void bt_facets_clear(struct bt_facets *facets);

/* `faceted`, `smooth`, `too close to call`, `not seen` (and for any other number). */
BT_API const char *bt_facets_text(enum bt_facets_preferred preferred);

#endif
