import { More } from '../controls/more.tsx';

/** What to mind before cutting and before wearing. */
export function FitCautions({ notes }: { readonly notes: readonly string[] }) {
  return (
    <More title="What to mind" isOpenAtFirst={notes.length > 1}>
      <ul className="steps">
        {notes.map((note) => (
          <li key={note}>{note}</li>
        ))}
        <li>
          A tight band can bring on a headache within the hour; it goes within an hour of taking the band off.
          Add ease when it presses.
        </li>
        <li>
          See and hear before you walk: try the sight lines sitting down, leave the ears free near traffic and
          in crowds, and have somebody lead you where you cannot see your feet.
        </li>
        <li>This is costume: it gives no protection against blows.</li>
      </ul>
    </More>
  );
}
