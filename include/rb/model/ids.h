/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/base/ids.h"

RB_DEFINE_ID(RbPersonId); /* a member of the staff */
RB_DEFINE_ID(RbTeamId);
RB_DEFINE_ID(RbPlayerId);
RB_DEFINE_ID(RbGameId);
RB_DEFINE_ID(RbSnapId);
RB_DEFINE_ID(RbPenaltyId);
RB_DEFINE_ID(RbFilmId);
RB_DEFINE_ID(RbClipId);
RB_DEFINE_ID(RbMarkId);
RB_DEFINE_ID(RbChartId);
RB_DEFINE_ID(RbTermId); /* a word of the staff's vocabulary */
RB_DEFINE_ID(RbConceptId);
RB_DEFINE_ID(RbRevisionId); /* one state of a concept */
RB_DEFINE_ID(RbCutupId);
RB_DEFINE_ID(RbCutupEntryId);
RB_DEFINE_ID(RbSavedFilterId);
RB_DEFINE_ID(RbFieldViewId); /* a frame of film with marks of the field */
RB_DEFINE_ID(RbFieldSightId);
RB_DEFINE_ID(RbFilmMeasureId);
