import { More } from '../controls/more.tsx';

/** How to tell that the print is true, and what to mind when cutting and gluing. */
export function PrintAdvice() {
  return (
    <>
      <More title="How to print and check" isOpenAtFirst>
        <ol className="steps">
          <li>Print at 100 %, “actual size”; switch off “fit to page”.</li>
          <li>
            Print one sheet first and lay a ruler on its check squares: 50 mm and 2 in (50.8 mm) on each side.
          </li>
          <li>
            Wrong by more than 0.3 mm? Then the whole template is wrong by the same share: measure the printer
            with the card page in Capture, and choose it above.
          </li>
          <li>Cut each sheet along the dashed joins, lay mark on mark, and tape.</li>
        </ol>
      </More>
      <More title="Before you cut, heat and glue">
        <ul className="steps">
          <li>A sharp new blade, cutting away from your body; fingers out of its way.</li>
          <li>
            Contact cement: its vapours can ignite. Open windows and doors, no flame, no sparks, no heat gun
            near wet cement.
          </li>
          <li>
            A heat gun passes 400 °C and stays hot after it is switched off. Foam that smokes is too hot.
          </li>
          <li>Follow the product labels and your local rules; ventilate before you rely on a mask.</li>
          <li>This is costume: it gives no protection against blows.</li>
        </ul>
      </More>
    </>
  );
}
