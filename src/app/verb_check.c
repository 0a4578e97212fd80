/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "app/options.h"
#include "app/progress.h"
#include "app/say.h"
#include "benchtrue/ingest/job.h"
#include "benchtrue/report/text.h"

enum exit_code run_check(struct options *options)
{
    struct bt_faults faults = {0};
    struct bt_buffer out = {0};
    struct bt_job job = {0};
    struct progress progress;
    const struct bt_load_options what = {.length = NAN,
                                         .width = NAN,
                                         .look_closely = true,
                                         .progress = progress_read,
                                         .progress_user = &progress};
    enum bt_status status;
    enum exit_code code;

    progress_start(&progress);
    bt_job_init(&job);
    status = bt_job_load(options->argument, &what, &job, &faults);
    progress_end(&progress);
    if (status != BT_OK) {
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
