import { Camera, FolderOpen, ImagePlus, Sparkles } from 'lucide-react';
import { BUILD_FILE_ENDING } from '../../build/file-format.ts';
import { BUILD_FILE, openBuildFromFile } from '../build-files.ts';
import { chooseFiles } from '../choose-files.ts';
import { ActionButton } from '../controls/action-button.tsx';
import { JobStatus } from '../controls/job-status.tsx';
import { DEMO, openDemo } from '../demo/demo-build.ts';
import { PhotographingDrawing } from '../drawings/photographing.tsx';
import { INTAKE, PHOTO_TYPES, takeIn } from '../intake.ts';
import { CardPages } from './card-pages.tsx';
import { KeptBuilds } from './kept-builds.tsx';

/** The first screen: what it does, how to begin, what is kept. */
export function StartScreen() {
  const addPhoto = async (usesCamera: boolean) =>
    takeIn(await chooseFiles({ accept: PHOTO_TYPES, isMultiple: !usesCamera, usesCamera }));
  const openFile = async () => {
    const [file] = await chooseFiles({ accept: BUILD_FILE_ENDING });
    if (file) await openBuildFromFile(file);
  };
  return (
    <div className="start">
      <title>Foamwright</title>
      <main className="start-inside">
        <section className="start-lead">
          <div className="start-words">
            <h1>Foamwright</h1>
            <p className="start-sentence">
              Photograph a paper mock-up beside printed scale cards; get a foam template that is true to the
              millimetre.
            </p>
            <p className="quiet">
              Everything is measured in this browser: photos and builds stay on this device, and it works
              offline.
            </p>
            <div className="start-actions">
              <ActionButton kind="main" icon={ImagePlus} onPress={() => void addPhoto(false)}>
                New build from a photo
              </ActionButton>
              <span className="only-on-touch">
                <ActionButton icon={Camera} onPress={() => void addPhoto(true)}>
                  Take a photo now
                </ActionButton>
              </span>
              <ActionButton icon={Sparkles} onPress={() => void openDemo()}>
                Open the demo
              </ActionButton>
              <ActionButton kind="quiet" icon={FolderOpen} onPress={() => void openFile()}>
                Open a build file
              </ActionButton>
            </div>
            <JobStatus jobKey={INTAKE} />
            <JobStatus jobKey={BUILD_FILE} />
            <JobStatus jobKey={DEMO} />
            <p className="small quiet">
              The demo is the Marsh Heron Warden’s headpiece for a lantern festival: three photos, measured
              and traced as you watch.
            </p>
            <p className="small quiet">
              Or drop a photo or a build file anywhere on this page, or paste a photo.
            </p>
          </div>
          <PhotographingDrawing />
        </section>
        <KeptBuilds />
        <CardPages />
      </main>
    </div>
  );
}
