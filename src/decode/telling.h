/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "film/index.h"
#include "film/protocol.h"
#include "scan.h"
#include "source.h"

/* What the parent is told of a film apart from its pictures. */

/* How its pictures are to be shown, as the container says. */
typedef struct {
    int rotation;     /* degrees clockwise; -1: it says nothing, so a frame may */
    AVRational shape; /* of a pixel; 0/1: nothing */
} Stance;

Stance stance_of(const AVStream *stream);
/* The container's word counts; where it has none, the frame's own. */
int stance_rotation(const Stance *stance, const AVFrame *frame);
AVRational stance_shape(const Stance *stance, const AVFrame *frame);

/* source: with its first frame decoded. */
void tell_facts(const Source *source, const Stance *stance);
void tell_doubts(const ScanNotes *notes, const RbIndex *index);
/* In as many messages as it takes, the last of this kind. */
void tell_index(const RbIndex *index, RbTellKind kind);
