/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/lengths.h"

#include <math.h>
#include <string.h>

#include "app/say.h"
#include "benchtrue/base/quantity.h"

enum exit_code read_length(const char *name, const char *text,
                           const struct options *options, double *mm, bool *inches)
{
    enum bt_unit unit = BT_UNIT_NONE;
    struct bt_quantity quantity;
    struct bt_error err;

    *mm = NAN;
    if (!text)
        return EXIT_DONE;
    if (options->system_typed)
        unit = options->system == BT_SYSTEM_MM ? BT_UNIT_MM : BT_UNIT_IN;
    /* A bare 0 wants no unit, it wants to be another number. */
    if (bt_quantity_parse(text, strlen(text), BT_DIM_LENGTH, BT_UNIT_MM, false,
                          &quantity, NULL) == BT_OK &&
        !(quantity.value > 0))
        return say(EXIT_USAGE, "%s must be more than 0: '%s'", name, text);
    if (bt_quantity_parse(text, strlen(text), BT_DIM_LENGTH, unit, false, &quantity,
                          &err) != BT_OK)
        return say(EXIT_USAGE, "%s: %s", name, err.message);
    if (!(quantity.value > 0))
        return say(EXIT_USAGE, "%s must be more than 0: '%s'", name, text);
    *mm = quantity.value;
    if (inches && (quantity.unit == BT_UNIT_IN || quantity.unit == BT_UNIT_FT ||
                   quantity.unit == BT_UNIT_THOU))
        *inches = true;
    return EXIT_DONE;
}
