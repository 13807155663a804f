/** Property tests draw the same cases on every run; another seed draws others: `FC_SEED=7 npm test`. */
import { configureGlobal } from "fast-check";

configureGlobal({ seed: Number(process.env.FC_SEED ?? 20_261_125) });
