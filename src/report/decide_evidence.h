/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BT_REPORT_DECIDE_EVIDENCE_H
#define BT_REPORT_DECIDE_EVIDENCE_H

#include "benchtrue/report/decide_result.h"

/*
 * Evidence of other sets and of what was written beside the readings: clamps on against
 * off (answer->clamped, evidence.eased), the other face of the same day (.other), the
 * moisture of the faces (.damp), which face lay up (.lay).  What is missing stays not
 * seen.  Returns BT_OK or BT_ENOMEM.
 */
enum bt_status bt_decide_evidence_find(struct bt_decide_answer *answer);

#endif
