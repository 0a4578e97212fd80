/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/judge/causes.h"

const char *bt_cause_name(enum bt_cause_kind kind)
{
#define NAME(code, name) [code] = (name),
    static const char *const names[] = {BT_CAUSE_LIST(NAME)};
#undef NAME

    return (unsigned)kind < BT_CAUSES ? names[kind] : "unknown cause";
}

const char *bt_evidence_name(enum bt_evidence_kind kind)
{
#define NAME(code, name) [code] = (name),
    static const char *const names[] = {BT_EVIDENCE_LIST(NAME)};
#undef NAME

    return (unsigned)kind < BT_EVIDENCES ? names[kind] : "unknown evidence";
}

const char *bt_cause_sentence(enum bt_cause_kind kind)
{
    static const char *const sentences[BT_CAUSES] = {
        [BT_CAUSE_EDGES] =
            "Flat boards meet at an angle: edges that are not square to their faces "
            "turn each joint by the sum of their two errors.",
        [BT_CAUSE_RINGS] =
            "A flat-sawn board that dries after glue-up goes hollow on its bark side; "
            "bark up and bark down in turn give a ripple, all one way a cup.",
        [BT_CAUSE_FACES] =
            "The damper face is the longer one and bends the whole panel into one "
            "smooth arc, crowned on that face.",
        [BT_CAUSE_WIND] =
            "Boards in wind, or a bench in wind that the panel was clamped or lay on, "
            "lift two opposite corners while lines along and across stay straight.",
        [BT_CAUSE_CLAMPS] =
            "Clamps whose screws do not push through the middle of the thickness bend "
            "the panel; what they bend comes back when they come off.",
        [BT_CAUSE_WEIGHT] =
            "Between its supports a panel hangs by its own weight; it is the bench "
            "that is read, not the wood.",
        [BT_CAUSE_DRYING] =
            "Wood that has not come to rest with the air still changes its shape; what "
            "is read today is on its way to something else.",
    };

    return (unsigned)kind < BT_CAUSES ? sentences[kind] : "";
}

const char *bt_evidence_missing(enum bt_evidence_kind kind)
{
    static const char *const words[BT_EVIDENCES] = {
        [BT_EVIDENCE_FACETS] = "state the boards or joints, and read two places or "
                               "more on each board across the width",
        [BT_EVIDENCE_FENCE] =
            "check the fence (fence.csv) and state widths and thickness of the boards",
        [BT_EVIDENCE_RIPPLE] =
            "write bark up or bark down for each board in the column rings of "
            "boards.csv, and read the middle and both sides of each board",
        [BT_EVIDENCE_TWIST] = "read both diagonals, or winding sticks",
        [BT_EVIDENCE_STRAIGHT] = "read lines along the grain as well as the twist",
        [BT_EVIDENCE_CLAMPS] = "read it once with the clamps on and once with them "
                               "off, and say so in the sets (clamps = on, off)",
        [BT_EVIDENCE_SAG] = "state supports in the set of readings, and species and "
                            "thickness of the panel",
        [BT_EVIDENCE_CHANGE] = "read it again at the same places on another day, and "
                               "date both sets",
        [BT_EVIDENCE_MOISTURE] =
            "measure the moisture under both faces and write moisture_top and "
            "moisture_bottom in the set; state species, width and thickness",
        [BT_EVIDENCE_LYING] = "state supports, moisture, humidity and temperature in "
                              "the set",
        [BT_EVIDENCE_OTHER_FACE] = "read the other face on the same day",
    };

    return (unsigned)kind < BT_EVIDENCES ? words[kind] : "";
}

/* What shows one cause and not the others. */
static const char *own_test(enum bt_cause_kind kind)
{
    static const char *const tests[BT_CAUSES] = {
        [BT_CAUSE_EDGES] =
            "Lay a short straightedge across one board only, then over one joint: if "
            "the board is flat and the joint is not, the edges are out.",
        [BT_CAUSE_RINGS] =
            "Lay a straightedge one board long across a bark-up and a bark-down board: "
            "hollow on one and crowned on the other means the rings.",
        [BT_CAUSE_FACES] =
            "Stand it on edge with both faces open to the air for two days and read "
            "the cup again: if it eases, one face was damper.",
        [BT_CAUSE_WIND] =
            "Turn the panel end for end on the bench and read the twist again: if the "
            "same corners of the bench stay high, it is the bench.",
        [BT_CAUSE_CLAMPS] = "Take the clamps off, wait an hour and read the same line "
                            "again: if it eases, it was the clamps.",
        [BT_CAUSE_WEIGHT] = "Stand it on edge and read the same line again: if the bow "
                            "goes, it was its own weight.",
        [BT_CAUSE_DRYING] = "Read the same line again in three days without touching "
                            "it: if it changed, it is still drying.",
    };

    return tests[kind];
}

static bool is_pair(enum bt_cause_kind a, enum bt_cause_kind b, enum bt_cause_kind x,
                    enum bt_cause_kind y)
{
    return (a == x && b == y) || (a == y && b == x);
}

const char *bt_cause_test(enum bt_cause_kind first, enum bt_cause_kind second)
{
    if ((unsigned)first >= BT_CAUSES || (unsigned)second >= BT_CAUSES ||
        first == second)
        return "";
    /* where waiting alone would show both, turn it over */
    if (is_pair(first, second, BT_CAUSE_FACES, BT_CAUSE_DRYING))
        return "Turn it over, the other face to the air, and read it after two days: "
               "if the cup eases and then goes the other way, one face was damper; if "
               "it keeps on as before, the whole is still drying.";
    /* a test of the second that the first leaves as it is costs less than sawing */
    if (is_pair(first, second, BT_CAUSE_EDGES, BT_CAUSE_FACES))
        return own_test(BT_CAUSE_EDGES);
    if (second == BT_CAUSE_WEIGHT || second == BT_CAUSE_CLAMPS)
        return own_test(second);
    return own_test(first);
}
