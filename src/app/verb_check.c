/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/options.h"
#include "app/say.h"
#include "benchtrue/ingest/job.h"
#include "benchtrue/report/text.h"

enum exit_code run_check(struct options *options)
{
    struct bt_faults faults = {0};
    struct bt_buffer out = {0};
    struct bt_job job = {0};
    enum exit_code code;

    bt_job_init(&job);
    if (bt_job_load(options->argument, NULL, &job, &faults) != BT_OK) {
        code = say_faults(&faults);
    } else {
        bt_text_job(&job, &out);
        code = print_result(&out, EXIT_DONE);
    }
    bt_buffer_clear(&out);
    bt_job_clear(&job);
    bt_faults_clear(&faults);
    return code;
}
