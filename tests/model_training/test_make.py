"""Making the networks: the recipe, the order of the jobs, stopping, going on, collecting."""

from __future__ import annotations

import os
import signal
import tarfile
import threading
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import pytest

from spikecheck.errors import TrainingError
from spikecheck.model_training.make import left_out, main, planned, stage_table
from spikecheck.model_training.make_collect import collect, pack_tars
from spikecheck.model_training.make_copy import part_of_set
from spikecheck.model_training.make_job import STAGES, Job, Use, fingerprints, startable
from spikecheck.model_training.make_jobs import main_jobs
from spikecheck.model_training.make_machine import Machine
from spikecheck.model_training.make_recipe_file import read_recipe_file
from spikecheck.model_training.make_run import Runner, claim_work_folder
from spikecheck.model_training.make_studies import study_jobs
from spikecheck.synthetic.solid.order import drawn_state
from spikecheck.vocabulary import PhotoTruth, write_truth

RECIPE = Path(__file__).parents[2] / "models" / "recipe.toml"
TWO = Machine(("0", "1"), 32)
NONE = Machine(("",), 2)


def all_jobs(machine=TWO, recipe=None):
    recipe = recipe or read_recipe_file(RECIPE)
    return [*main_jobs(recipe, machine), *study_jobs(recipe, machine)]


def test_the_recipe_keeps_its_sets_apart():
    recipe = read_recipe_file(RECIPE)
    ranges = {name: one.ranges() for name, one in recipe.sets.items()}
    assert all(a[1] == b[0] for one in ranges.values() for a, b in pairwise(one))
    spans = sorted((one[0][0], one[-1][1]) for one in ranges.values())
    assert all(a[1] <= b[0] for a, b in pairwise(spans))
    calibration = recipe.sets["calibration"]
    [(first, end)] = ranges["calibration"]
    kept = [seed for seed in range(first, end) if drawn_state(seed) in calibration.shows]
    assert len(kept) == calibration.layers


@pytest.mark.parametrize(
    ("line", "other", "said"),
    [
        ("seed = 320000", "seed = 100500", "may belong to another"),
        ("seed = 500", "seed = 900", "may belong to another"),  # the last are beyond 999
        ("[sets.tuning]", "[sets.tuning]\nplenty = true", "more leftovers"),
        ('schema = "spikecheck.recipe/1"', 'schema = "other"', "is no recipe"),
        ("layers = 1011", "layers = 0", "is no recipe"),
        ("fit.florets.minutes = 2.6", "fit.spikes.minutes = 2.6", "is no recipe"),
        ("fit.florets.minutes = 2.6", "fit = {}", "is no recipe"),
        ("littered_batches = 4", "littered_batches = 9", "littered_batches is 0 to 8"),
        ("seed = 130000", "seed = 99000", "may belong to another"),
        ("plenty = true", "plenty = true\nfaults = false", "photos with a fault"),
        ('"light:sun"', '"sun"', "is no recipe"),
    ],
)
def test_a_recipe_that_cannot_be_right_is_refused(tmp_path, line, other, said):
    text = RECIPE.read_text()
    assert line in text
    path = tmp_path / "recipe.toml"
    path.write_text(text.replace(line, other))
    with pytest.raises(TrainingError, match=said):
        read_recipe_file(path)


def test_a_dry_run_is_smaller_in_everything_and_the_same_in_kind():
    whole = read_recipe_file(RECIPE)
    small = whole.scaled(0.02)
    assert {name: one.layers for name, one in small.sets.items()} == {
        "training": 32, "further_1": 23, "further_2": 64,
        "tuning": 4, "calibration": 21, "reporting": 8,
    }  # fmt: skip
    assert small.fit["florets"].minutes == pytest.approx(0.02 * whole.fit["florets"].minutes)
    assert small.studies.calibration_photos < whole.studies.calibration_photos / 10
    names = [job.name for job in all_jobs(recipe=whole)]
    assert len(set(names)) == len(names)
    fewer = [job.name for job in all_jobs(recipe=small)]
    assert {n for n in names if "links" not in n} == {n for n in fewer if "links" not in n}


@pytest.mark.parametrize("machine", [TWO, NONE])
def test_jobs_come_after_what_they_need_and_all_have_their_turn(machine):
    jobs = all_jobs(machine)
    known: set[str] = set()
    for job in jobs:
        assert known.issuperset(job.needs)
        assert job.stage in STAGES
        known.add(job.name)
    plan = planned(jobs, set(), set(), machine)
    assert [job.name for _, _, job in plan] != []
    assert {job.name for _, _, job in plan} == known
    end = {job.name: end for _, end, job in plan}
    for begin, _, job in plan:
        assert all(end[need] <= begin for need in job.needs)


def test_what_may_go_on_beside_each_other():
    plan = planned(all_jobs(), set(), set(), TWO)
    for begin, end, job in plan:
        beside = [
            other.use for start, stop, other in plan
            if other is not job and start < end and begin < stop
        ]  # fmt: skip
        if job.use is Use.RENDER:
            assert Use.RENDER not in beside
        if job.use is Use.LOOKING:
            assert set(beside) <= {Use.LOOKING, Use.RENDER, Use.GPU, Use.LITTLE}
        if job.use is Use.CORES:
            assert set(beside) <= {Use.RENDER, Use.GPU, Use.LITTLE}
    overlap = [
        job for begin, end, job in plan if job.stage == "compose"
        and any(o.use is Use.RENDER and s < end and begin < e for s, e, o in plan)
    ]  # fmt: skip
    assert len(overlap) >= 3


def test_studies_fill_the_time_in_which_a_gpu_would_wait_and_hold_the_networks_up_little():
    jobs = {job.name: job for job in all_jobs()}
    plan = planned(list(jobs.values()), set(), set(), TWO)
    begins = {job.name: begin for begin, _, job in plan}
    ends = {job.name: end for _, end, job in plan}
    main_fits = [name for name in jobs if jobs[name].stage == "fit"]
    studies = [job for job in jobs.values() if job.use is Use.GPU and job.stage != "fit"]
    longest = max(job.seconds for job in studies)
    for name in main_fits:
        ready = max(ends[need] for need in jobs[name].needs)
        assert begins[name] - ready <= longest
    assert min(begins[job.name] for job in studies) < min(begins[name] for name in main_fits)
    assert begins["carry_over_table"] > ends["card"]


def test_photos_with_faults_alone_are_for_the_overview_and_for_tuning():
    jobs = {job.name: job for job in all_jobs()}
    faulty = "photos/training_faulty_1"
    assert f"{faulty}/packed" in jobs["fit_overview"].command
    assert f"{faulty}/packed" not in jobs["fit_florets"].command
    assert "photos/tuning_faulty_1" in jobs["tune"].command
    assert {"compose_tuning", "compose_tuning_faulty_1"} <= set(jobs["tune"].needs)
    seeds = [
        job.command[job.command.index("--seed") + 1]
        for job in (jobs["compose_training_1"], jobs["compose_training_faulty_1"])
    ]
    assert seeds[0] != seeds[1]  # else both would show the same scenes


def test_one_that_waits_is_not_overtaken():
    look = Job("look", "tune", ("x",), Use.LOOKING, (), "a", 1)
    compose = Job("compose", "compose", ("x",), Use.CORES, (), "b", 1)
    later = Job("later", "card", ("x",), Use.LOOKING, (), "c", 1)
    jobs = [compose, later, look]
    started = startable(jobs, set(), {"look": ""}, set(), ("0", "1"))
    assert started == []  # `compose` waits for `look`, and `later` for `compose`
    started = startable([later, compose, look], set(), {"look": ""}, set(), ("0", "1"))
    assert [job.name for job, _ in started] == ["later"]


def test_fits_take_a_gpu_each_and_go_on_beside_rendering():
    fits = [Job(f"fit_{k}", "fit", ("x",), Use.GPU, (), f"{k}", 1) for k in range(3)]
    render = Job("render", "render", ("x",), Use.RENDER, (), "r", 1)
    started = startable([*fits, render], set(), {"render": ""}, set(), ("0", "1"))
    assert [(job.name, gpu) for job, gpu in started] == [("fit_0", "0"), ("fit_1", "1")]


def test_what_a_changed_recipe_makes_anew():
    recipe = read_recipe_file(RECIPE)
    overview = replace(recipe.fit["overview"], minutes=9.0)
    longer = replace(recipe, fit={**recipe.fit, "overview": overview})
    before, after = fingerprints(all_jobs()), fingerprints(all_jobs(recipe=longer))
    changed = {name for name in before if before[name] != after[name]}
    assert {"fit_overview", "export_overview", "tune", "calibrate", "card"} <= changed
    assert (
        not {"fit_florets_further_2", "compose_reporting", "fit_share_1_florets", "network_free"}
        & changed
    )


AN_HOUR_S = 3600.0
# Running: jobs are this small module, found in the work folder like any other.
WRITES = """
import signal, sys, time
from pathlib import Path
name, seconds, code = sys.argv[1], float(sys.argv[2]), int(sys.argv[3])
Path("seen").mkdir(exist_ok=True)
def told(number, frame):
    Path("seen", name + ".told").touch()
    sys.exit(0)  # as a fit that wrote its checkpoint
signal.signal(signal.SIGTERM, told)
with open(Path("seen", name), "a") as file:
    file.write("x")
time.sleep(seconds)
Path(name + ".out").touch()
sys.exit(code)
"""


@pytest.fixture
def work(tmp_path, monkeypatch):
    (tmp_path / "modules").mkdir()
    (tmp_path / "modules" / "writes.py").write_text(WRITES)
    monkeypatch.setenv("PYTHONPATH", str(tmp_path / "modules"))
    folder = tmp_path / "work"
    claim_work_folder(folder)
    return folder


def small(name, *, seconds=0.0, code=0, needs=(), **more):
    command = ("writes", name, str(seconds), str(code))
    return Job(name, "fit", command, Use.LITTLE, needs, f"{name}.out", 1, **more)


def times_run(work, name):
    return len((work / "seen" / name).read_text())


def test_what_is_done_is_not_done_again_until_it_changes(work):
    first, second = small("a", clears=("a.out",)), small("b", needs=("a",))
    other = small("c")
    assert Runner(work, NONE, [first, second, other]).run(set())
    assert Runner(work, NONE, [first, second, other]).run(set())
    assert [times_run(work, name) for name in "abc"] == [1, 1, 1]
    changed = replace(first, command=(*first.command, "more"))
    assert Runner(work, NONE, [changed, second, other]).run(set())
    assert [times_run(work, name) for name in "abc"] == [2, 2, 1]


def test_a_job_that_fails_holds_up_only_what_needs_it(work):
    jobs = [small("a", code=3), small("b", needs=("a",)), small("c", code=3, tolerated=(3,))]
    runner = Runner(work, NONE, jobs)
    assert not runner.run(set())
    assert set(runner.failed) == {"a"}
    assert runner.done() == {"c"}
    assert "failed: a (exit code 3" in stage_table(runner, ["fit"])
    assert not (work / "seen" / "b").exists()
    again = replace(jobs[0], command=("writes", "a", "0", "0"))
    assert Runner(work, NONE, [again, *jobs[1:]]).run(set())


def test_a_stage_that_was_not_asked_for_is_left(work):
    early = replace(small("a"), stage="render")
    runner = Runner(work, NONE, [early, small("b", needs=("a",))])
    assert not runner.run(left_out(runner.jobs, ["fit"], ()))
    assert not (work / "seen").exists()
    assert runner.run(left_out(runner.jobs, ["render"], ()))


def test_what_is_left_out_takes_along_all_that_needs_it(work):
    jobs = [small("ab"), small("b", needs=("ab",)), small("c")]
    assert left_out(jobs, ["fit"], ("a*",)) == {"ab", "b"}
    runner = Runner(work, NONE, jobs)
    assert runner.run(left_out(jobs, ["fit"], ("a*",)))
    assert runner.done() == {"c"}
    with pytest.raises(TrainingError, match="no job is named 'x'"):
        left_out(jobs, ["fit"], ("a*", "x"))


@pytest.mark.parametrize("share", [0.3, 0.01, 1.5])
def test_a_share_of_the_training_set_is_whole_batches(share):
    recipe = read_recipe_file(RECIPE)
    studies = replace(recipe.studies, family_share=share)
    with pytest.raises(TrainingError, match="no whole number of its batches"):
        study_jobs(replace(recipe, studies=studies), TWO)


def test_a_network_is_fitted_further_from_its_run_and_exported_from_there():
    jobs = {job.name: job for job in all_jobs()}
    first, second = jobs["fit_florets_further_1"], jobs["fit_florets_further_2"]
    for go, start in ((first, "florets"), (second, "florets_further_1")):
        assert f"fit_{start}" in go.needs
        assert go.command[go.command.index("--from") + 1] == f"runs/{start}"
    assert "photos/further_1_1/packed" in first.command
    assert "photos/training_1/packed" not in first.command
    assert "fit_florets_further_2" in jobs["export_florets"].needs
    assert "runs/florets_further_2" in jobs["export_florets"].command
    assert "runs/overview" in jobs["export_overview"].command


def test_the_overview_network_goes_on_with_photos_with_a_fault_as_well():
    recipe = read_recipe_file(RECIPE)
    first, second = recipe.further
    more = {"further_2": replace(recipe.sets["further_2"], faulty_batches=1)}
    second = replace(second, fit={**second.fit, "overview": second.fit["florets"]})
    recipe = replace(recipe, sets={**recipe.sets, **more}, further=(first, second))
    jobs = {job.name: job for job in all_jobs(recipe=recipe)}
    overview = jobs["fit_overview_further_2"]
    assert overview.command[overview.command.index("--from") + 1] == "runs/overview"
    assert "photos/further_2_faulty_1/packed" in overview.command
    assert "photos/further_2_faulty_1/packed" not in jobs["fit_florets_further_2"].command
    assert "runs/overview_further_2" in jobs["export_overview"].command


def test_a_family_left_out_stands_beside_a_network_that_saw_it():
    jobs = {job.name: job for job in all_jobs()}
    table = jobs["carry_over_table"]
    beside = table.command[table.command.index("--beside") + 1]
    assert beside == "results/studies/share_0.5.json"
    assert "share_0.5_card" in table.needs


def test_so_many_batches_as_the_recipe_says_are_strewn_with_look_alikes():
    jobs = {job.name: job for job in all_jobs()}
    strewn = ["--littered" in jobs[f"compose_further_2_{number}"].command for number in range(1, 9)]
    assert strewn == [True] * 4 + [False] * 4
    assert all("--plenty" in jobs[f"render_further_2_{n}"].command for n in range(1, 9))


def make_it_late(runner):
    runner._begun -= AN_HOUR_S


def tell_to_stop(_runner):
    os.kill(os.getpid(), signal.SIGTERM)


@pytest.mark.parametrize("stop", [make_it_late, tell_to_stop])
def test_time_that_is_up_stops_what_runs_and_the_next_call_goes_on(work, stop):
    jobs = [small("a"), small("b", seconds=60.0, needs=("a",))]
    runner = Runner(work, NONE, jobs, until_s=AN_HOUR_S)

    over = threading.Event()

    def stop_once_b_runs():
        while not over.wait(0.02):
            if (work / "seen" / "b").exists():
                stop(runner)
                return

    watcher = threading.Thread(target=stop_once_b_runs)
    watcher.start()
    try:
        assert not runner.run(set())
    finally:
        over.set()
        watcher.join()
    assert (work / "seen" / "b.told").exists()  # SIGTERM, not killed
    assert runner.done() == {"a"}  # ended with 0, and yet not done
    assert runner.failed == {}
    quick = replace(jobs[1], command=("writes", "b", "0", "0"))
    assert Runner(work, NONE, [jobs[0], quick]).run(set())
    assert times_run(work, "a") == 1


def test_nothing_begins_when_time_is_up(work):
    assert not Runner(work, NONE, [small("a")], until_s=25.0).run(set())
    assert not (work / "seen").exists()


def test_a_folder_of_other_things_is_no_work_folder(tmp_path):
    (tmp_path / "thesis.txt").touch()
    with pytest.raises(TrainingError, match="something else"):
        claim_work_folder(tmp_path)


def test_the_plan_is_told_and_nothing_made(tmp_path, caplog):
    caplog.set_level("INFO")
    main(["--plan", "--out", str(tmp_path / "work"), "--gpus", "0,1", "--workers", "32",
          "--recipe", str(RECIPE)])  # fmt: skip
    assert "render_training_1" in caplog.text
    assert "minutes to go" in caplog.text
    assert not (tmp_path / "work").exists()


def test_a_part_of_a_set_leaves_a_family_out(tmp_path):
    folder = tmp_path / "set"
    folder.mkdir()
    (folder / "manifest.json").write_text("{}")
    for number in range(9):
        name = f"s{number:07d}_000"
        light = "sun" if number % 3 == 0 else "led"
        families = {"light": light}
        truth = PhotoTruth(image=f"{name}.jpg", width=4, height=4, anthers=(), families=families)
        write_truth(truth, folder / f"{name}.json")
        (folder / f"{name}.jpg").write_bytes(b"x")
    taken = part_of_set(folder, tmp_path / "part", count=4, without=("light", "sun"))
    assert taken == 4
    photos = sorted(path.stem for path in (tmp_path / "part").glob("*.jpg"))
    assert photos == [f"s{number:07d}_000" for number in (1, 2, 4, 5)]
    assert (tmp_path / "part" / f"{photos[0]}.json").read_text()
    with pytest.raises(TrainingError, match="no photo"):
        part_of_set(tmp_path, tmp_path / "none", count=4, without=None)


def test_tars_stay_small_and_hold_all(tmp_path):
    (tmp_path / "set").mkdir()
    files = []
    for number in range(9):
        files.append(tmp_path / "set" / f"{number}.jpg")
        files[-1].write_bytes(bytes([number]) * 4_000_000)
    tars = pack_tars(files, tmp_path, tmp_path / "out" / "photos")
    assert [tar.name for tar in tars] == ["photos_1.tar", "photos_2.tar", "photos_3.tar"]
    assert all(tar.stat().st_size <= 15_000_000 for tar in tars)
    found = {}
    for tar in tars:
        with tarfile.open(tar) as opened:
            for member in opened:
                found[member.name] = opened.extractfile(member).read()
    assert found == {f"set/{file.name}": file.read_bytes() for file in files}


def test_networks_are_collected_with_their_cards(tmp_path):
    model = tmp_path / "models" / "florets" / "1"
    model.mkdir(parents=True)
    for name in ("model.onnx", "CARD.md", "model.toml.bak"):
        (model / name).write_text(name)
    files = collect(tmp_path, "1")
    assert [file.relative_to(tmp_path / "results").as_posix() for file in files] == [
        "models/florets/1/CARD.md", "models/florets/1/model.onnx",
    ]  # fmt: skip
