/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <cjson/cJSON.h>

#include "app/options.h"
#include "app/say.h"
#include "benchtrue/base/alloc.h"
#include "benchtrue/surface/gsl_errors.h"

static void *take_memory(size_t size)
{
    return bt_mem_resize(NULL, size);
}

/* Both libraries keep their settings in globals, so that only the program may set
 * them: GSL must not abort on an error that the library handles, and the memory of
 * cJSON goes the way of all other memory. */
static void prepare_libraries(void)
{
    cJSON_Hooks hooks = {take_memory, bt_free};

    bt_gsl_errors_off();
    cJSON_InitHooks(&hooks);
}

static enum exit_code print_version(void)
{
    struct bt_buffer out = {0};
    enum exit_code code;

    bt_buffer_text(&out, "benchtrue " BT_VERSION "\n");
    code = print_result(&out, EXIT_DONE);
    bt_buffer_clear(&out);
    return code;
}

int main(int argc, char *argv[])
{
    struct options options;
    bool version_asked;
    enum exit_code code;

    prepare_libraries();
    options_init(&options);
    code = options_read(argc, argv, &options, &version_asked);
    if (code == EXIT_DONE)
        code = version_asked ? print_version() : options.verb->run(&options);
    options_clear(&options);
    return (int)code;
}
