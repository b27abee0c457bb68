/* SPDX-License-Identifier: GPL-3.0-or-later */
#define _GNU_SOURCE /* close_range */
#include "confine.h"

#include <stdlib.h>
#include <sys/prctl.h>
#include <sys/resource.h>
#include <unistd.h>

#include "film/helper-process.h"

static void limit(int resource, rlim_t value)
{
    const struct rlimit both = { value, value };
    setrlimit((__rlimit_resource_t)resource, &both); /* a refusal leaves it as it was */
}

void confine(void)
{
    close_range(RB_HELPER_SOCKET + 1, ~0U, 0);
    if (prctl(PR_SET_NO_NEW_PRIVS, 1, 0, 0, 0) != 0) {
        exit(EXIT_FAILURE);
    }
    /* No dump of a stranger's film, no flood of files, no processes beyond the decoder's
     * threads. Not RLIMIT_FSIZE: it would stop the shared memory too. */
    limit(RLIMIT_CORE, 0);
    limit(RLIMIT_NOFILE, 32);
    limit(RLIMIT_MEMLOCK, 0);
    limit(RLIMIT_MSGQUEUE, 0);
}
