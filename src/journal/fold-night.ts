/** What each event about the night, the machines and the telling does to the state. */

import { withHold, withNightOver } from "../forecast/learn/experience.js";
import type { Folds } from "./draft.js";
import { dropEmptyParcels } from "./fold-people.js";

export const nightFolds = {
  "hold.placed": (draft, { hold }) => {
    draft.hold = hold;
  },
  "hold.lifted": (draft, _, atUnixMs) => {
    const { hold, taken, tally } = draft;
    if (hold !== null) draft.tally = withHold(tally, hold.sinceUnixMs, taken !== null, atUnixMs);
    draft.hold = null;
  },
  "rule.chosen": (draft, { rule }) => {
    draft.rule = rule;
  },
  "plan.kept": (draft, { plan }, atUnixMs) => {
    draft.plan = { plan, keptUnixMs: atUnixMs };
  },
  "equipment.changed": (draft, { equipment, by, part }) => {
    const ofDome = part === "dome" || (part === undefined && equipment.dome !== draft.equipment.dome);
    if (ofDome) draft.domeByStaff = by !== null;
    draft.equipment = equipment;
  },
  "disk.short": (draft, { neededBytes, freeBytes }) => {
    draft.diskShort = { neededBytes, freeBytes };
  },
  "disk.mended": (draft) => {
    draft.diskShort = null;
  },
  "estimates.told": (draft, { estimates }) => {
    for (const { number, startUnixMs } of estimates) {
      if (draft.waiting.has(number)) draft.told.set(number, startUnixMs);
    }
  },
  "estimates.moved": (draft, { moves }) => {
    for (const { number, startUnixMs } of moves) {
      if (draft.waiting.has(number)) draft.told.set(number, startUnixMs);
    }
  },
  "request.next": (draft, { number }) => {
    if (draft.waiting.has(number)) draft.toldNext.add(number);
  },
  "request.overtaken": (draft, { number, next, startUnixMs }) => {
    draft.overtaken.delete(number);
    if (!draft.waiting.has(number)) return;
    draft.told.set(number, startUnixMs);
    if (next) draft.toldNext.add(number);
    else draft.toldNext.delete(number);
  },
  "night.began": (draft, { date }) => {
    draft.night = date;
    draft.tally = withNightOver(draft.tally, draft.waiting.size > 0);
    draft.tallyBefore = draft.tally;
    for (const owner of draft.takenTonight.keys()) draft.takenTonight.delete(owner);
    for (const number of draft.toldNext) draft.toldNext.delete(number);
    for (const number of draft.overtaken.keys()) draft.overtaken.delete(number);
  },
  "frames.unplaced": () => {},
  "dusk.noted": () => {},
  "morning.summed": () => {},
  "job.ran": (draft, { job, dueUnixMs }) => {
    draft.jobs.set(job, dueUnixMs);
  },
  "parcel.made": (draft, { parcelKey, noticeKeys }) => {
    if (noticeKeys.some((key) => draft.outbox.has(key))) draft.parcels.set(parcelKey, noticeKeys);
  },
  "notices.delivered": (draft, { keys }) => {
    for (const key of keys) draft.outbox.delete(key);
    dropEmptyParcels(draft);
  },
  "notices.dropped": (draft, { keys }) => {
    for (const key of keys) draft.outbox.delete(key);
    dropEmptyParcels(draft);
  },
  "surface.remembered": (draft, { surface, key, value }) => {
    const kept = [...(draft.remembered.get(surface) ?? [])].filter(([each]) => each !== key);
    draft.remembered.set(surface, new Map(value === null ? kept : [...kept, [key, value]]));
  },
} satisfies Partial<Folds>;
