/** Every telescope link keeps the same promises. */
import { PracticeLink } from "../../src/telescope/practice/link.js";
import { opensDevice } from "../telescope/device/device-evening.js";
import { programmedLink } from "../telescope/hook/hook-links.js";
import { byHandOperated, folderOperated } from "../telescope/operated-links.js";
import { ScriptedLink } from "../telescope/scripted-link.js";
import { telescopeLinkContract, UNTOLD } from "./telescope-link.js";

telescopeLinkContract("practice", (makeFrame) => new PracticeLink({ makeFrame, pauseClock: () => () => {} }));
telescopeLinkContract("a slow one with habits of its own", (makeFrame) => new ScriptedLink(makeFrame));
telescopeLinkContract("a control program's hook", programmedLink);
telescopeLinkContract("machines driven by protocol", opensDevice());
telescopeLinkContract("an operator's hands", byHandOperated, UNTOLD);
telescopeLinkContract("an operator's hands and a folder", folderOperated, UNTOLD);
