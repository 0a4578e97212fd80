/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_SRC_WOOD_JOIN_H
#define BENCHTRUE_SRC_WOOD_JOIN_H

#include <stddef.h>

/*
 * Which rows of the three tables of wood are about one species where they name it
 * differently, or where one row stands for a group; for make_species only.  Rows that
 * carry the same name in all tables need no entry.  NULL: the table has no row.
 */
struct join {
    const char *name; /* of the species in our table */
    const char *shrinkage, *change, *mechanical;
    const char *botanical, *group; /* where the first row that says it is not right for
                                      it, or none says it */
};

static const struct join joins[] = {
    /* one wood under two names */
    {"Afrormosia", "Afrormosia", "Kokrodua (afrormosia)", NULL, NULL, NULL},
    {"Andiroba", "Andiroba", "Andiroba (crabwood)", NULL, NULL, NULL},
    {"Apitong", "Apitong", "Apitong, keruing", NULL, NULL, NULL},
    {"Cedar, eastern redcedar", "Cedar, eastern redcedar", "Cedar, eastern red", NULL,
     NULL, NULL},
    {"Cedar, western redcedar", "Cedar, western redcedar", "Cedar, western red",
     "Cedar, western redcedar", NULL, NULL},
    {"Cedar, yellow", "Cedar, yellow", "Cedar, yellow (Alaska)", NULL, NULL, NULL},
    {"Cypress, Australian", NULL, "Australian cypress (tangential only)", NULL, NULL,
     NULL},
    {"Douglas-fir, coast", "Douglas-fir, coast", "Douglas-fir, coast type",
     "Douglas-fir, coast", NULL, NULL},
    {"Jarrah", NULL, "Jarrah (tangential only)", NULL, NULL, NULL},
    {"Jatoba", NULL, "Brazilian cherry / jatoba (tangential only)", NULL, NULL, NULL},
    {"Mahogany, African", "Mahogany, African", "Khaya (African mahogany)",
     "Mahogany, African (Khaya)", NULL, NULL},
    {"Mahogany, true", "Mahogany, true", "Mahogany", "Mahogany, true (Swietenia)", NULL,
     NULL},
    {"Merbau", "Merbau", "Merbau (tangential only)", NULL, NULL, NULL},
    {"Mesquite", NULL, "Mesquite (tangential only)", NULL, NULL, NULL},
    {"Oak, California red", NULL, "Oak, red, California", NULL, NULL, NULL},
    {"Oak, Oregon white", NULL, "Oak, white, Oregon white", NULL, NULL, NULL},
    {"Oak, live", "Oak, live", "Oak, white, live", NULL, NULL, NULL},
    {"Oak, overcup", "Oak, overcup", "Oak, white, overcup", NULL, NULL, NULL},
    {"Padauk", NULL, "Padauk (tangential only)", NULL, NULL, NULL},
    {"Pine, southern yellow", NULL, "Southern yellow pine, flooring (tangential only)",
     NULL, NULL, "softwood (US)"},
    {"Purpleheart", NULL, "Purpleheart (tangential only)", NULL, NULL, NULL},
    {"Redwood, young-growth", "Redwood, young-growth", "Redwood, second-growth",
     "Redwood, young-growth", NULL, NULL},
    {"Wenge", NULL, "Wenge (tangential only)", NULL, NULL, NULL},

    /* one row of coefficients for a group of species; what is sold as the group takes
     * the other values from the species that the source of the coefficients leans on */
    {"Hickory, true", "Hickory, mockernut", "Hickory, true", "Hickory, mockernut",
     "Carya spp.", NULL},
    {"Hickory, mockernut", "Hickory, mockernut", "Hickory, true", "Hickory, mockernut",
     NULL, NULL},
    {"Hickory, pignut", "Hickory, pignut", "Hickory, true", "Hickory, pignut", NULL,
     NULL},
    {"Hickory, shagbark", "Hickory, shagbark", "Hickory, true", "Hickory, shagbark",
     NULL, NULL},
    {"Hickory, shellbark", "Hickory, shellbark", "Hickory, true", "Hickory, shellbark",
     NULL, NULL},
    {"Oak, red", "Oak, northern red", "Oak, red, commercial", "Oak, northern red",
     "Quercus spp.", NULL},
    {"Oak, northern red", "Oak, northern red", "Oak, red, commercial",
     "Oak, northern red", NULL, NULL},
    {"Oak, southern red", "Oak, southern red", "Oak, red, commercial", NULL, NULL,
     NULL},
    {"Oak, pin", "Oak, pin", "Oak, red, commercial", NULL, NULL, NULL},
    {"Oak, scarlet", "Oak, scarlet", "Oak, red, commercial", NULL, NULL, NULL},
    {"Oak, water", "Oak, water", "Oak, red: water, laurel, willow", NULL, NULL, NULL},
    {"Oak, willow", "Oak, willow", "Oak, red: water, laurel, willow", NULL, NULL, NULL},
    {"Oak, laurel", "Oak, laurel (red group)", "Oak, red: water, laurel, willow",
     "Oak, laurel (red group)", NULL, NULL},
    {"Oak, white", "Oak, white", "Oak, white, commercial", "Oak, white", NULL, NULL},
    {"Oak, bur", "Oak, bur", "Oak, white, commercial", "Oak, bur (white group)", NULL,
     NULL},
    {"Oak, chestnut", "Oak, chestnut (white group)", "Oak, white, commercial", NULL,
     NULL, NULL},
    {"Oak, post", "Oak, post", "Oak, white, commercial", NULL, NULL, NULL},
    {"Oak, swamp chestnut", "Oak, swamp chestnut", "Oak, white, commercial", NULL, NULL,
     NULL},
    {"Pine, loblolly", "Pine, loblolly", "Pine, loblolly and pond", "Pine, loblolly",
     NULL, NULL},
    {"Pine, pond", "Pine, pond", "Pine, loblolly and pond", "Pine, pond", NULL, NULL},
    {"Pine, lodgepole", "Pine, lodgepole", "Pine, lodgepole and Jeffrey",
     "Pine, lodgepole", NULL, NULL},
    {"Pine, Jeffrey", NULL, "Pine, lodgepole and Jeffrey", NULL, "Pinus jeffreyi",
     NULL},

    /* only in the table of mechanical values, which has no column for the group */
    {"Hickory, bitternut", NULL, NULL, "Hickory, bitternut", NULL, "hardwood (US)"},
    {"Hickory, nutmeg", NULL, NULL, "Hickory, nutmeg", NULL, "hardwood (US)"},
    {"Hickory, water", NULL, NULL, "Hickory, water", NULL, "hardwood (US)"},
    {"Pine, sand", NULL, NULL, "Pine, sand", NULL, "softwood (US)"},
    {"Pine, spruce pine", NULL, NULL, "Pine, spruce pine", NULL, "softwood (US)"},
};

/* Rows that are about no species. */
static const char *const not_species[] = {
    "Longitudinal shrinkage, normal wood (all species)",
    "RULE: strength-SG relation, hardwood+softwood mix, 12 % MC",
    "RULE: E_L from bending MOE"};

#endif
