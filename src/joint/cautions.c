/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/joint/cautions.h"

#include <math.h>

/* Made from reference/cautions.csv by make_cautions. */
static const struct bt_caution cautions[] = {
#include "cautions.inc"
};

size_t bt_caution_count(void)
{
    return sizeof cautions / sizeof *cautions;
}

const struct bt_caution *bt_caution_at(size_t i)
{
    return i < bt_caution_count() ? &cautions[i] : NULL;
}

bool bt_caution_has_size(const struct bt_caution *caution)
{
    return !isnan(caution->least_length) || !isnan(caution->least_width) ||
           !isnan(caution->least_thickness);
}

bool bt_caution_applies(const struct bt_caution *caution, double length, double width,
                        double thickness)
{
    /* false for a NaN on either side */
    return length < caution->least_length || width < caution->least_width ||
           thickness < caution->least_thickness;
}
