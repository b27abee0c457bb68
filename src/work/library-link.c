/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "library-link.h"

#include <pthread.h>
#include <stdatomic.h>

struct RbLibraryLink {
    atomic_int refs;
    pthread_t owner;
    RbLibrary *library; /* used by the owner only; NULL when closed */
};

RbLibraryLink *rb_library_link_new(RbLibrary *library)
{
    RbLibraryLink *link = g_new0(RbLibraryLink, 1);
    atomic_init(&link->refs, 1);
    link->owner = pthread_self();
    link->library = library;
    return link;
}

RbLibraryLink *rb_library_link_ref(RbLibraryLink *link)
{
    atomic_fetch_add_explicit(&link->refs, 1, memory_order_relaxed);
    return link;
}

void rb_library_link_unref(RbLibraryLink *link)
{
    if (atomic_fetch_sub_explicit(&link->refs, 1, memory_order_acq_rel) == 1) {
        g_free(link);
    }
}

void rb_library_link_cut(RbLibraryLink *link)
{
    link->library = NULL;
    rb_library_link_unref(link);
}

bool rb_library_link_is_mine(const RbLibraryLink *link)
{
    return pthread_equal(link->owner, pthread_self());
}

RbLibrary *rb_library_link_get(const RbLibraryLink *link)
{
    return rb_library_link_is_mine(link) ? link->library : NULL;
}
