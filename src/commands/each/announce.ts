/** /announce: an instructor's own words to the class. */

import { defineCommand } from "../define.js";
import { classOf } from "../people/people.js";

export const announce = defineCommand({
  name: "announce",
  who: "instructor",
  help: "Says something to your whole class, once, in its channels.",
  options: [{ name: "text", kind: "text", required: true, help: "What to say", maxLength: 500 }],
  examples: ["/announce We start with the globular clusters."],
  answer: async ({ call, values, services, act }) => {
    const { classId, id } = call.asker;
    await act(() => [{ type: "announcement.made", classId, text: values.text, by: id }]);
    return {
      tone: "done",
      title: "Announced",
      lines: [[`${classOf(services.config, classId)?.name ?? "Your class"} reads it now.`]],
    };
  },
});
