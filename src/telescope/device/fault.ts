/** Why a machine's work ends before it is done. */

/** Something did not do as it should: nothing more moves until the operator has looked. `message` is a clause. */
export class Fault extends Error {}

/** This request can't be observed now, whatever the machines do. `message` is a clause for its owner. */
export class NotNow extends Error {}

/** The work was called off from outside; it says nothing more. */
export class CalledOff extends Error {}

/** It can't go on, through no fault of the request's: it waits again. `message` is a clause for its owner. */
export class GivenBack extends Error {}

/** People are at the machines: the work waits until they are known to be away. */
export class PeopleThere extends Error {}
