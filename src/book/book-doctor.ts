import type { InstallationLook } from './book-access.ts';

/** Sound; worth a look; something does not work. */
export type Status = 'sound' | 'look' | 'broken';

export interface DoctorFinding {
  readonly status: Status;
  readonly what: string;
  /** What mends it; where there is something to mend. */
  readonly mend?: string;
}

const DAY_MS = 24 * 60 * 60 * 1000;
/** A book grows slowly; below this a photo may not find room any more. */
const LITTLE_BYTES = 500 * 1024 * 1024;
const OLDEST_NODE = [20, 19] as const;

/** What is wrong with an installation and how to mend it, the worst first. */
export function bookDoctor(look: InstallationLook): readonly DoctorFinding[] {
  const order = { broken: 0, look: 1, sound: 2 };
  return [
    nodeFinding(look),
    ...folderFindings(look),
    ...bookFindings(look),
    ...backupFindings(look),
    ...clockFindings(look),
    look.page
      ? sound('The page is there.')
      : {
          status: 'look' as const,
          what: 'The page is not built, so a browser finds only the list of calls.',
          mend: 'Run "npm run build" in the folder of the program.',
        },
  ].sort((one, other) => order[one.status] - order[other.status]);
}

const sound = (what: string): DoctorFinding => ({ status: 'sound', what });

function nodeFinding({ nodeVersion }: InstallationLook): DoctorFinding {
  const [major = 0, minor = 0] = nodeVersion.replace(/^v/, '').split('.').map(Number);
  const [low, lowMinor] = OLDEST_NODE;
  return major > low || (major === low && minor >= lowMinor)
    ? sound(`Node ${nodeVersion} is new enough.`)
    : {
        status: 'broken',
        what: `Node ${nodeVersion} is too old.`,
        mend: `Get Node ${low}.${lowMinor} or newer from nodejs.org.`,
      };
}

function folderFindings(look: InstallationLook): readonly DoctorFinding[] {
  const { folder, folderIs, writable, freeBytes } = look;
  if (folderIs === 'nothing') {
    return [
      {
        status: 'look',
        what: `There is no folder ${folder} yet, and so no book.`,
        mend: 'It is made the first time something is kept: "kneadwell serve" or "kneadwell add".',
      },
    ];
  }
  if (folderIs === 'other') {
    return [
      {
        status: 'broken',
        what: `${folder} is no folder.`,
        mend: 'Name another with --folder or KNEADWELL_FOLDER.',
      },
    ];
  }
  const findings: DoctorFinding[] = [
    writable === false
      ? {
          status: 'broken',
          what: `${folder} cannot be written to.`,
          mend: 'Give yourself leave to write there, or move the folder to a place of yours.',
        }
      : sound(`${folder} can be written to.`),
  ];
  if (freeBytes !== undefined) {
    const megabytes = Math.floor(freeBytes / 1024 / 1024);
    findings.push(
      freeBytes < LITTLE_BYTES
        ? {
            status: freeBytes < LITTLE_BYTES / 10 ? 'broken' : 'look',
            what: `Only ${megabytes} MB are free on its disk.`,
            mend: 'Free some room; what is saved is safe, but soon nothing new can be.',
          }
        : sound(`${megabytes.toLocaleString('en')} MB are free on its disk.`),
    );
  }
  return findings;
}

function bookFindings(look: InstallationLook): readonly DoctorFinding[] {
  const { owner, schema, knownSchema, notOpened, troubles, records, looseFiles } = look;
  const findings: DoctorFinding[] = [];
  const newer = schema !== undefined && schema > knownSchema;
  if (look.halfRestored) {
    findings.push({
      status: 'look',
      what: 'A restore was begun and not ended.',
      mend: 'It ends by itself the next time the book is opened.',
    });
  }
  if (owner !== undefined) {
    findings.push(
      sound(
        owner.url === undefined
          ? `The book is open in process ${owner.pid}.`
          : `The book is open in the server at ${owner.url} (process ${owner.pid}).`,
      ),
    );
  }
  if (newer) {
    findings.push({
      status: 'broken',
      what: 'The book was written by a newer Kneadwell.',
      mend: 'Install the newer program. The book was left as it is.',
    });
  } else if (schema !== undefined && schema < knownSchema) {
    findings.push(sound('The book is of an older version, and is brought up when it is opened.'));
  }
  if (notOpened !== undefined && !newer) {
    findings.push({
      status: 'broken',
      ...notOpened,
    });
  }
  if (troubles !== undefined) {
    for (const trouble of troubles) {
      findings.push({
        status: 'broken',
        what: trouble,
        mend: 'Restore the newest sound backup; the damaged book is kept aside.',
      });
    }
    if (troubles.length === 0) {
      findings.push(sound(`The book is sound: ${records} records looked through.`));
    }
  }
  if (looseFiles !== undefined && looseFiles > 0) {
    findings.push(sound(`${looseFiles} kept files are named by no record; they do no harm.`));
  }
  return findings;
}

function backupFindings(look: InstallationLook): readonly DoctorFinding[] {
  const { backups, newestBackup, nowEpochMs, records } = look;
  const newest = backups.at(-1);
  if (newest === undefined) {
    return records === undefined || records === 0
      ? []
      : [
          {
            status: 'look',
            what: `There is no backup in ${look.folder}/backups yet.`,
            mend: 'Make one with "kneadwell backup", best also on another disk with --to; backups made with --to are not looked for here.',
          },
        ];
  }
  const days = Math.floor((nowEpochMs - Date.parse(newest.at)) / DAY_MS);
  const findings: DoctorFinding[] = [
    days > 7
      ? {
          status: 'look',
          what: `The newest backup is ${days} days old.`,
          mend: 'Make one with "kneadwell backup"; while the server runs, it makes one a day.',
        }
      : sound(`The newest of ${backups.length} backups is of ${newest.at.slice(0, 10)}.`),
  ];
  if (typeof newestBackup === 'object') {
    findings.push({
      status: 'broken',
      what: newestBackup.trouble,
      mend: 'Make another with "kneadwell backup".',
    });
  }
  return findings;
}

function clockFindings({ newestChangeAt, nowEpochMs }: InstallationLook): readonly DoctorFinding[] {
  if (newestChangeAt === undefined) return [];
  const ahead = Date.parse(newestChangeAt) - nowEpochMs;
  return ahead < DAY_MS
    ? []
    : [
        {
          status: 'look',
          what: `The clock of this machine is ${Math.floor(ahead / DAY_MS)} days behind the newest change of the book.`,
          mend: 'Set the clock. Nothing is lost by it; only the days beside new changes would be wrong.',
        },
      ];
}
