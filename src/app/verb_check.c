/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <dirent.h>
#include <math.h>
#include <stdbool.h>
#include <string.h>

#include "app/options.h"
#include "app/progress.h"
#include "app/say.h"
#include "benchtrue/ingest/job.h"
#include "benchtrue/report/text.h"

/* Files that a job may hold beside those that job.ini names. */
static bool is_known(const struct bt_job *job, const char *name)
{
    static const char *const usual[] = {"boards.csv",  "lines.csv",     "fence.csv",
                                        "dryfit.csv",  "thickness.csv", "opening.csv",
                                        "fixings.csv", "cutouts.csv",   "stock.csv"};

    for (size_t i = 0; i < sizeof usual / sizeof *usual; i++)
        if (strcmp(name, usual[i]) == 0)
            return true;
    for (size_t i = 0; i < job->nset; i++)
        for (size_t k = 0; k < job->set[i].nfile; k++)
            if (strcmp(name, job->set[i].file[k]) == 0)
                return true;
    return (job->board_file && strcmp(name, job->board_file) == 0) ||
           (job->fence.file && strcmp(name, job->fence.file) == 0);
}

/* Readings that were typed and never named are missed by nobody else. */
static void add_unnamed(struct bt_buffer *out, const struct bt_job *job)
{
    DIR *folder = *job->folder ? opendir(job->folder) : NULL;
    const struct dirent *entry;

    while (folder && (entry = readdir(folder)) != NULL) {
        const char *name = entry->d_name;
        const size_t length = strlen(name);

        if (length <= 4 || strcmp(name + length - 4, ".csv") != 0 || *name == '.' ||
            is_known(job, name))
            continue;
        bt_buffer_text(out, "Not read:  ");
        bt_buffer_name(out, name);
        bt_buffer_text(out, ", which nothing in job.ini names: readings go into the "
                            "line files = of their section\n");
    }
    if (folder)
        closedir(folder);
}

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
        add_unnamed(&out, &job);
        code = print_result(&out, EXIT_DONE);
    }
    bt_buffer_clear(&out);
    bt_job_clear(&job);
    bt_faults_clear(&faults);
    return code;
}
