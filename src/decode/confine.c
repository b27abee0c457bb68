/* SPDX-License-Identifier: GPL-3.0-or-later */
#define _GNU_SOURCE /* close_range, clone flags */
#include "confine.h"

#include <errno.h>
#include <fcntl.h>
#include <linux/landlock.h>
#include <sched.h>
#include <seccomp.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdlib.h>
#include <sys/mman.h>
#include <sys/prctl.h>
#include <sys/resource.h>
#include <sys/syscall.h>
#include <unistd.h>

#include "film/helper-process.h"

#if defined(__SANITIZE_ADDRESS__) || defined(__SANITIZE_THREAD__)
#define FILTERED false /* the sanitizers look around in /proc and trace threads */
#else
#define FILTERED true
#endif

static void limit(int resource, rlim_t value)
{
    const struct rlimit both = { value, value };
    setrlimit((__rlimit_resource_t)resource, &both); /* a refusal leaves it as it was */
}

/* What decoding, memory and threads need, whatever the arguments. Everything that is not
 * allowed here or below fails with EPERM: malloc and libav ask for files and sockets now and
 * then and live without them. */
static const int harmless[] = {
    SCMP_SYS(read),
    SCMP_SYS(write),
    SCMP_SYS(readv),
    SCMP_SYS(writev),
    SCMP_SYS(pread64),
    SCMP_SYS(pwrite64),
    SCMP_SYS(lseek),
    SCMP_SYS(gettid),
    SCMP_SYS(close),
    SCMP_SYS(recvmsg),
    SCMP_SYS(sendmsg),
    SCMP_SYS(poll),
    SCMP_SYS(ppoll),
    SCMP_SYS(brk),
    SCMP_SYS(munmap),
    SCMP_SYS(mremap),
    SCMP_SYS(madvise),
    SCMP_SYS(futex),
    SCMP_SYS(sched_yield),
    SCMP_SYS(sched_getaffinity),
    SCMP_SYS(clock_gettime),
    SCMP_SYS(clock_nanosleep),
    SCMP_SYS(nanosleep),
    SCMP_SYS(gettimeofday),
    SCMP_SYS(getrandom),
    SCMP_SYS(getpid),
    SCMP_SYS(set_robust_list),
    SCMP_SYS(set_tid_address),
    SCMP_SYS(rseq),
    SCMP_SYS(sigaltstack),
    SCMP_SYS(rt_sigaction),
    SCMP_SYS(rt_sigprocmask),
    SCMP_SYS(rt_sigreturn),
    SCMP_SYS(membarrier),
    SCMP_SYS(restart_syscall),
    SCMP_SYS(exit),
    SCMP_SYS(exit_group),
};

/* Nothing here asks for these by accident. */
static const int hostile[] = {
    SCMP_SYS(execve),
    SCMP_SYS(execveat),
    SCMP_SYS(fork),
    SCMP_SYS(vfork),
    SCMP_SYS(ptrace),
    SCMP_SYS(process_vm_readv),
    SCMP_SYS(process_vm_writev),
    SCMP_SYS(pidfd_open),
    SCMP_SYS(pidfd_getfd),
    SCMP_SYS(bpf),
    SCMP_SYS(mount),
    SCMP_SYS(unshare),
    SCMP_SYS(setns),
    SCMP_SYS(kexec_load),
    SCMP_SYS(init_module),
    SCMP_SYS(io_uring_setup),
    SCMP_SYS(userfaultfd),
    SCMP_SYS(keyctl),
};

static bool allow_with_limits(scmp_filter_ctx filter)
{
    const scmp_datum_t thread = CLONE_VM | CLONE_THREAD | CLONE_SIGHAND;
    return /* memory, but none that can be run */
        seccomp_rule_add(filter, SCMP_ACT_ALLOW, SCMP_SYS(mmap), 1,
                         SCMP_A2(SCMP_CMP_MASKED_EQ, PROT_EXEC, 0)) == 0 &&
        seccomp_rule_add(filter, SCMP_ACT_ALLOW, SCMP_SYS(mprotect), 1,
                         SCMP_A2(SCMP_CMP_MASKED_EQ, PROT_EXEC, 0)) == 0 &&
        /* threads, but no processes; clone3 hides its flags in memory, and glibc falls back to
         * clone when there is none */
        seccomp_rule_add(filter, SCMP_ACT_ALLOW, SCMP_SYS(clone), 1,
                         SCMP_A0(SCMP_CMP_MASKED_EQ, thread, thread)) == 0 &&
        seccomp_rule_add(filter, SCMP_ACT_ERRNO(ENOSYS), SCMP_SYS(clone3), 0) == 0 &&
        /* signals to itself only: abort() */
        seccomp_rule_add(filter, SCMP_ACT_ALLOW, SCMP_SYS(tgkill), 1,
                         SCMP_A0(SCMP_CMP_EQ, (scmp_datum_t)getpid())) == 0 &&
        /* the names of threads */
        seccomp_rule_add(filter, SCMP_ACT_ALLOW, SCMP_SYS(prctl), 1,
                         SCMP_A0(SCMP_CMP_EQ, PR_SET_NAME)) == 0 &&
        /* log code asks whether it writes to a terminal */
        seccomp_rule_add(filter, SCMP_ACT_ERRNO(ENOTTY), SCMP_SYS(ioctl), 0) == 0;
}

static bool filter_calls(void)
{
    scmp_filter_ctx filter = seccomp_init(SCMP_ACT_ERRNO(EPERM));
    if (filter == NULL) {
        return false;
    }
    bool good = allow_with_limits(filter);
    for (size_t i = 0; good && i < sizeof harmless / sizeof harmless[0]; i++) {
        good = seccomp_rule_add(filter, SCMP_ACT_ALLOW, harmless[i], 0) == 0;
    }
    for (size_t i = 0; good && i < sizeof hostile / sizeof hostile[0]; i++) {
        good = seccomp_rule_add(filter, SCMP_ACT_KILL_PROCESS, hostile[i], 0) == 0;
    }
    good = good && seccomp_load(filter) == 0;
    seccomp_release(filter);
    return good;
}

/* A second wall behind the filter: no path of any file system may be opened, made or taken
 * away. The rights are those of the first version of Landlock (Linux 5.13); on a kernel without
 * it the filter stands alone. */
static void close_file_systems(void)
{
    const struct landlock_ruleset_attr rules = {
        .handled_access_fs = (LANDLOCK_ACCESS_FS_MAKE_SYM << 1) - 1,
    };
    const int fd = (int)syscall(SYS_landlock_create_ruleset, &rules, sizeof rules, 0);
    if (fd >= 0) {
        syscall(SYS_landlock_restrict_self, fd, 0); /* refused: as on an old kernel */
        close(fd);
    }
}

void confine(void)
{
    close_range(RB_HELPER_SOCKET + 1, ~0U, 0);
    if (prctl(PR_SET_NO_NEW_PRIVS, 1, 0, 0, 0) != 0) {
        exit(EXIT_FAILURE);
    }
    /* No dump of a stranger's film and no flood of descriptors. Not RLIMIT_FSIZE: it would stop
     * the shared memory too. */
    limit(RLIMIT_CORE, 0);
    limit(RLIMIT_NOFILE, 32);
    limit(RLIMIT_MEMLOCK, 0);
    limit(RLIMIT_MSGQUEUE, 0);
    if (FILTERED) {
        close_file_systems();
    }
    if (FILTERED && !filter_calls()) {
        exit(EXIT_FAILURE);
    }
}
