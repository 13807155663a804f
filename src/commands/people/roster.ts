/** Who is in a class, and in which of its groups. */

import { count, listed } from "../../base/english.js";
import { type Phrase, say } from "../../base/phrase.js";
import { Refusal } from "../../base/refusal.js";
import { membersIn } from "../../journal/membership.js";
import type { State } from "../../journal/state.js";
import type { PersonId } from "../../queue/request.js";
import type { Call } from "../command.js";
import type { Ask } from "../define.js";
import { Offer } from "../offer.js";
import type { Reply, Table } from "../reply.js";
import type { Services } from "../services.js";
import { example } from "../words/example.js";
import { absentees, classOf, findPerson, groupOf, groupsOf } from "./people.js";

/** The class with its groups: who is here, who is on the list only, and what each has waiting. */
export function roster({ asker, from }: Call, services: Services): Reply {
  const { desk, config } = services;
  const { state } = desk;
  const { classId } = asker;
  const here = membersIn(state, classId);
  const absent = absentees(classId, from.surface, services);
  const groups = groupsOf(classId, state, config);
  const waiting = waitingByOwner(state, classId);
  const row = (id: PersonId, name: string, isHere: boolean): Phrase[] => [
    [name],
    [groupOf(id, classId, state, config) ?? "–"],
    [isHere ? "yes" : "not yet"],
    [String(waiting.get(id) ?? 0)],
  ];
  return {
    tone: "answer",
    title: classOf(config, classId)?.name ?? "Your class",
    lines: [
      [
        `${count(here.length + absent.length, "person", "people")}, ${here.length} of them here so far; ${groups.length === 0 ? "no groups" : `groups ${listed(groups)}`}.`,
      ],
      say`To set a group, type ${example("/session groups Alder mira, tomas", { action: "groups", group: "Alder", members: "mira, tomas" })}.`,
    ],
    table: {
      columns: ["name", "group", "here", "waiting"],
      rows: [
        ...here.map((each) => row(each.id, each.name, true)),
        ...absent.map((each) => row(`${from.surface}:${each.id}`, each.name, false)),
      ],
      ownRows: [],
    } satisfies Table,
  };
}

function waitingByOwner(state: State, classId: string): Map<PersonId, number> {
  const waiting = new Map<PersonId, number>();
  for (const number of state.waiting) {
    const request = state.requests.get(number);
    if (request?.classId === classId) waiting.set(request.owner, (waiting.get(request.owner) ?? 0) + 1);
  }
  return waiting;
}

/**
 * Puts people into a group, and nobody else.
 * @param typed names, accounts or mentions, with commas between names
 * @throws {Refusal} code "no-members", and whatever `findPerson` throws
 */
export async function setGroup({ call, services, act }: Ask, group: string, typed: string): Promise<Reply> {
  const { asker, from } = call;
  const names = typed.split(/\s*[,;]\s*|\s+(?=<?@)|(?<=>)\s*/).filter(Boolean);
  if (names.length === 0) {
    const line = example(`/session groups ${group} mira, tomas`, {
      action: "groups",
      group,
      members: "mira, tomas",
    });
    throw new Offer("no-members", [say`Say who is in ${group}: type, for example, ${line}.`]);
  }
  const members = namesToPeople(names, (name) => findPerson(name, asker, from.surface, services));
  await act(() => [{ type: "group.set", classId: asker.classId, group, members }]);
  return {
    tone: "done",
    title: `Group ${group} is set`,
    lines: [[`It has ${count(members.length, "member")} now; whoever was in another group has left that.`]],
  };
}

/** "mira tomas" without commas is two names where it is nobody's. */
function namesToPeople(names: readonly string[], find: (name: string) => PersonId): PersonId[] {
  const people = names.flatMap((name) => {
    try {
      return [find(name)];
    } catch (error) {
      const words = name.split(" ");
      if (!(error instanceof Refusal) || error.code !== "unknown-person" || words.length === 1) throw error;
      return words.map(find);
    }
  });
  return [...new Set(people)];
}
