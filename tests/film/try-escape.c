/* SPDX-License-Identifier: GPL-3.0-or-later */
#define _GNU_SOURCE /* syscall */
#include <errno.h>
#include <fcntl.h>
#include <pthread.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/mman.h>
#include <sys/socket.h>
#include <sys/syscall.h>
#include <unistd.h>

#include "decode/confine.h"

/* Confines itself as the helper does, then tries what a taken-over helper would. Exit status: the
 * errno that it met, 0 when it got through. Killed by SIGSYS for the hostile calls. */

static void *in_thread(void *data)
{
    return data;
}

static int answer(long result)
{
    return result < 0 ? errno : 0;
}

static int try_it(const char *what)
{
    if (strcmp(what, "open") == 0) {
        return answer(open("/etc/passwd", O_RDONLY));
    }
    if (strcmp(what, "create") == 0) {
        return answer(open("escaped", O_WRONLY | O_CREAT, 0600));
    }
    if (strcmp(what, "socket") == 0) {
        return answer(socket(AF_INET, SOCK_STREAM, 0));
    }
    if (strcmp(what, "unlink") == 0) {
        return answer(unlink("/tmp/readbreak-no-such-file"));
    }
    if (strcmp(what, "kill") == 0) {
        return answer(syscall(SYS_kill, getppid(), 0));
    }
    if (strcmp(what, "process") == 0) {
        return answer(syscall(SYS_clone, 17 /* SIGCHLD */, 0, 0, 0, 0));
    }
    if (strcmp(what, "code") == 0) {
        const void *at = mmap(NULL, 4096, PROT_READ | PROT_WRITE | PROT_EXEC,
                              MAP_PRIVATE | MAP_ANONYMOUS, -1, 0);
        return answer(at == MAP_FAILED ? -1 : 0);
    }
    if (strcmp(what, "exec") == 0) {
        return answer(execl("/bin/true", "true", (char *)NULL));
    }
    if (strcmp(what, "fork") == 0) {
        return answer(syscall(SYS_fork));
    }
    if (strcmp(what, "ptrace") == 0) {
        return answer(syscall(SYS_ptrace, 0, 0, 0, 0));
    }
    /* And what it must still be able to do. */
    if (strcmp(what, "thread") == 0) {
        pthread_t thread;
        const int result = pthread_create(&thread, NULL, in_thread, NULL);
        return result != 0 ? result : pthread_join(thread, NULL);
    }
    if (strcmp(what, "memory") == 0) {
        void *much = malloc(64 << 20);
        if (much == NULL) {
            return ENOMEM;
        }
        memset(much, 1, 64 << 20);
        free(much);
        return 0;
    }
    return 99;
}

int main(int argc, char **argv)
{
    confine();
    return argc == 2 ? try_it(argv[1]) : 98;
}
