using VibeCheck.Core.Airframes;
using VibeCheck.Core.Surveys;
using VibeCheck.Logs.Airframes;
using VibeCheck.Logs.Inputs;
using VibeCheck.Logs.Sheets;
using VibeCheck.Logs.Surveys;

namespace VibeCheck.BenchSheet.State;

/// <summary>The bench sheet of one job: its entries, what follows from them, and what is on the screen. Every change is stored at
/// once.</summary>
public sealed partial class Sheet
{
    private const int MostTyped = 9;

    private readonly SheetStore _store;
    private readonly Func<DateTimeOffset> _now;
    private readonly List<SheetEntry> _entries;
    private readonly HashSet<Guid> _known;

    // Used several times per tap, and unchanged until the next reading.
    private readonly Dictionary<(string Motor, SurveyTime When), NextReading?> _next = [];
    private DateTimeOffset _last;

    // A new reading moves to the place to read next; after a removed reading the screen stays at its place.
    private bool _goesOn;

    private Sheet(SheetStore store, string job, SheetJob about, Airframe airframe, Func<DateTimeOffset> now)
    {
        (_store, Job, About, Airframe, _now) = (store, job, about, airframe, now);
        _entries = [.. store.Entries(job)];
        _known = [.. _entries.Select(e => e.Id)];
        _last = _entries.Count > 0 ? _entries[^1].At : default;
        View = store.View(job);
        Compute();
    }

    /// <summary>Key of the job in the store.</summary>
    internal string Job { get; }

    /// <summary>What is known of the job.</summary>
    internal SheetJob About { get; private set; }

    /// <summary>The aircraft.</summary>
    internal Airframe Airframe { get; }

    /// <summary>What is on the screen.</summary>
    internal SheetView View { get; private set; }

    /// <summary>The present state that follows from the entries.</summary>
    internal SheetLedger Ledger { get; private set; } = null!;

    /// <summary>Tilts and shims from the readings so far.</summary>
    internal ShimPlan Plan { get; private set; } = null!;

    /// <summary>Whether a reading is drawn before tilts and shims are calculated from it: on a slow phone the calculation takes too long
    /// for a tap.</summary>
    internal bool IsStepwise { get; init; }

    /// <summary>Whether <see cref="Plan"/> still lacks the last readings, until <see cref="CatchUp"/>.</summary>
    internal bool IsBehind { get; private set; }

    /// <summary>All entries in the order they were made.</summary>
    internal IReadOnlyList<SheetEntry> Entries => _entries;

    /// <summary>The motor on the screen; null for the frame at the hub.</summary>
    internal Motor? Motor => View.Motor is string id ? Airframe.Find(id) : null;

    /// <summary>Whether propellers and battery were ticked off.</summary>
    internal bool IsMadeSafe => Ledger.IsTicked(null, SheetBox.PropellersOff) && Ledger.IsTicked(null, SheetBox.BatteryOut);

    /// <summary>The survey as text of survey.csv.</summary>
    internal string SurveyText => Ledger.SurveyText(Airframe);

    /// <summary>Opens the sheet of a stored job.</summary>
    /// <param name="store">Where it is stored.</param>
    /// <param name="job">Its key.</param>
    /// <param name="now">The clock.</param>
    /// <param name="isStepwise">Whether a reading is drawn before tilts and shims are calculated from it.</param>
    /// <returns>The sheet, or null with what is wrong with its airframe; both null where the job has none yet.</returns>
    internal static (Sheet? Sheet, string? Problem) Open(SheetStore store, string job, Func<DateTimeOffset> now, bool isStepwise = false)
    {
        if (store.Job(job) is not { AirframeToml: string toml } about)
        {
            return (null, null);
        }

        try
        {
            Airframe airframe = AirframeFile.ReadText(toml, "airframe.toml");
            store.Open(job);
            return (new(store, job, about, airframe, now) { IsStepwise = isStepwise }, null);
        }
        catch (InputFaultException e)
        {
            return (null, e.Message);
        }
    }

    /// <summary>The readings of the motor on the screen, the last one first.</summary>
    internal IEnumerable<ReadingEntry> ReadingsHere => Ledger.Readings.Where(r => r.Motor == View.Motor && r.When == View.When).Reverse();

    /// <summary>How often a place was read at the motor on the screen.</summary>
    internal int CountAt(WorkStep step) => ReadingsHere.Count(r => r.Where == step.Where && r.Direction == step.Direction);

    /// <summary>The places to read at the motor on the screen: beside each motor, or the frame alone at the hub.</summary>
    internal IReadOnlyList<WorkStep> Steps =>
        View.Motor is null ? [.. WorkStep.InOrder.Where(s => s.Where == GaugePlace.Frame)] : WorkStep.InOrder;

    /// <summary>The reading to take next at a motor; null where a further one is not worthwhile.</summary>
    internal NextReading? Next(Motor motor, SurveyTime when)
    {
        if (!_next.TryGetValue((motor.Id, when), out NextReading? next))
        {
            _next[(motor.Id, when)] = next = NextReading.Of(Plan, motor, when);
        }

        return next;
    }

    /// <summary>The reading to take next at the motor on the screen.</summary>
    internal NextReading? NextHere =>
        Motor is Motor motor ? Next(motor, View.When)
        : Steps.FirstOrDefault(s => CountAt(s) == 0) is WorkStep step ? new(step.Where, step.Direction, ReadingPurpose.FirstReading, 1)
        : null;

    /// <summary>When a motor is to be read: as left once its shims are fitted.</summary>
    internal SurveyTime TimeOf(Motor motor) => Ledger.IsTicked(motor.Id, SheetBox.ShimsFitted) ? SurveyTime.AsLeft : SurveyTime.AsFound;

    /// <summary>The first motor, starting from the one on the screen, that still needs a reading; null where none does.</summary>
    internal Motor? NextMotor
    {
        get
        {
            int at = Math.Max(0, Airframe.Motors.ToList().FindIndex(m => m.Id == View.Motor)),
                count = Airframe.Motors.Count;
            return Enumerable
                .Range(0, count)
                .Select(i => Airframe.Motors[(at + i) % count])
                .FirstOrDefault(m => Next(m, TimeOf(m)) is not null);
        }
    }

    /// <summary>Shows the plan of the aircraft, or settings.</summary>
    internal void Show(Screen screen)
    {
        CatchUp();
        Change(View with { Screen = screen, Hint = "" });
    }

    /// <summary>Shows a motor, or the frame at the hub, at the place to read next.</summary>
    internal void ShowMotor(Motor? motor)
    {
        CatchUp();
        View = View with
        {
            Screen = Screen.Motor,
            Motor = motor?.Id,
            When = motor is null ? View.When : TimeOf(motor),
            Where = GaugePlace.Frame,
            Direction = TiltDirection.Across,
            Typed = "",
            Hint = "",
            Knocked = false,
            Fitting = false,
            TrialPlain = "",
            TrialLeft = "",
        };
        GoToNext();
    }

    /// <summary>Chooses as found or as left.</summary>
    internal void Choose(SurveyTime when)
    {
        CatchUp();
        View = View with { When = when, Hint = "", Fitting = false };
        GoToNext();
    }

    /// <summary>Shows the shims of the motor: as planned, as fitted.</summary>
    internal void ChooseFitting()
    {
        CatchUp();
        Change(View with { Fitting = true, Hint = "" });
    }

    /// <summary>Chooses a place, out of the order of work.</summary>
    internal void Choose(WorkStep step)
    {
        CatchUp();
        Change(View with { Where = step.Where, Direction = step.Direction, Hint = "", TrialPlain = "", TrialLeft = "" });
    }

    /// <summary>Changes a setting.</summary>
    internal void Set(Func<SheetView, SheetView> change)
    {
        CatchUp();
        bool inch = View.Inch;
        Change(change(View) with { Hint = "", TrialPlain = "", TrialLeft = "" });
        if (View.Inch != inch)
        {
            Compute();
        }
    }

    /// <summary>A key of the number pad: a digit, a decimal mark, or / between two values of a gauge that flickers.</summary>
    internal void Type(char key)
    {
        CatchUp();
        if (View.Typed.Length < MostTyped)
        {
            Change(View with { Typed = View.Typed + key, Hint = "" });
        }
    }

    /// <summary>Removes the last typed character.</summary>
    internal void Erase()
    {
        CatchUp();
        Change(View with { Typed = View.Typed.Length > 0 ? View.Typed[..^1] : "", Hint = "" });
    }

    /// <summary>A low side was tapped: the typed angle becomes a reading.</summary>
    internal void Tap(LowSide side) => Take($"{View.Typed} {Word(side)}", "Type the angle first, then tap the low side.");

    /// <summary>The gauge shows level: a reading of 0 without a side.</summary>
    internal void TapLevel()
    {
        CatchUp();
        Change(View with { Typed = View.Typed.Length == 0 ? "0" : View.Typed });
        Take(View.Typed, "");
    }

    /// <summary>The bubble of a bull's-eye level is at an hour of the clock face, seen from above, 12 outwards.</summary>
    internal void TapHour(int hour) => Take($"{View.Typed} @ {hour}", "Type the angle first, then tap the hour where the bubble stands.");

    /// <summary>Removes the last reading; both, where a bull's-eye level gave two at once.</summary>
    internal void Undo()
    {
        CatchUp();
        if (Ledger.Readings is not [.., ReadingEntry last])
        {
            Change(View with { Hint = "There is no reading to take back." });
            return;
        }

        ReadingEntry[] together = [.. Ledger.Readings.Where(r => r.At == last.At)];
        (IsBehind, _goesOn) = (IsStepwise, false);
        Add([.. together.Select(r => new WithdrawalEntry(Guid.NewGuid(), Now(), r.Id))]);
        Change(
            View with
            {
                Screen = Screen.Motor,
                Motor = last.Motor,
                When = last.When,
                Where = last.Where,
                Direction = together[0].Direction,
                Fitting = false,
                Typed = "",
                Hint = $"Taken back: {SurveyFile.Text(SheetLedger.ToReading(last, Airframe).Reading!)}.",
            }
        );
    }

    /// <summary>Ticks or unticks a box.</summary>
    internal void Tick(string? motor, SheetBox box)
    {
        CatchUp();
        Add([new TickEntry(Guid.NewGuid(), Now(), motor, box, !Ledger.IsTicked(motor, box))]);
        Change(View with { Hint = "" });
    }

    /// <summary>Adds the entries received from the server.</summary>
    /// <returns>Whether anything was new.</returns>
    internal bool Join(SheetJob about)
    {
        CatchUp();
        About = about with { Entries = [] };
        SheetEntry[] foreign = [.. about.Entries.Where(e => !_known.Contains(e.Id))];
        foreach (SheetEntry entry in about.Entries)
        {
            _store.MarkSent(Job, entry.Id);
        }

        Add(foreign);
        return foreign.Length > 0;
    }

    /// <summary>Adds the entries made in another page of this browser.</summary>
    internal void Reload()
    {
        CatchUp();
        Add([.. _store.Entries(Job).Where(e => !_known.Contains(e.Id))], isKept: true);
    }

    /// <summary>Calculates tilts and shims from the last readings, and goes to the place to read next. Every other action does this first,
    /// because it needs the plan.</summary>
    internal void CatchUp()
    {
        if (IsBehind)
        {
            IsBehind = false;
            Compute();
            if (_goesOn)
            {
                GoToNext();
            }
        }
    }

    private static string Word(LowSide side) => side.ToString().ToLowerInvariant();

    private void Take(string text, string whenNothingTyped)
    {
        CatchUp();
        if (View.Typed.Length == 0)
        {
            Change(View with { Hint = whenNothingTyped });
            return;
        }

        bool level = View.Typed.Trim('0', '.', ',').Length == 0 && !text.Contains('@', StringComparison.Ordinal);
        if (View.Typed.Split('/').Any(value => value.Count(c => c is '.' or ',') > 1))
        {
            Change(View with { Hint = "The angle has more than one decimal mark: erase one." });
            return;
        }

        // Only the number pad types here: every comma is a decimal mark.
        string plain = (level ? View.Typed : text).Replace(',', '.');
        GaugeAnswer answer = GaugeAnswer.Read(plain, View.Direction, hub: false);
        if (answer.Problem is string problem)
        {
            Change(View with { Hint = problem });
            return;
        }

        DateTimeOffset at = Now();
        bool noteShims =
            View.When == SurveyTime.AsLeft
            && Motor is Motor m
            && Airframe.BoltsOf(m) is not null
            && Ledger.IsTicked(m.Id, SheetBox.ShimsFitted);
        ReadingEntry[] readings =
        [
            .. answer.Readings.Select(r => new ReadingEntry(Guid.NewGuid(), at)
            {
                Motor = View.Motor,
                When = View.When,
                Where = View.Where,
                Direction = r.Direction ?? View.Direction,
                LowDeg = r.LowDeg,
                HighDeg = r.HighDeg,
                LowSide = r.Side ?? LowSide.Level,
                Turned = View.Turned,
                Knock = View.Knocked,
                Note = View.Note,
                Shims = noteShims ? FittedText(Motor!) : null,
            }),
        ];
        (IsBehind, _goesOn) = (IsStepwise, true);
        Add(readings);
        View = View with { Typed = "", Hint = "", Note = "", TrialPlain = "", TrialLeft = "" };
        if (IsBehind)
        {
            Change(View);
        }
        else
        {
            GoToNext();
        }
    }

    /// <summary>Goes to the place to read next; stays where no further reading is needed.</summary>
    private void GoToNext() => Change(NextHere is NextReading next ? View with { Where = next.Where, Direction = next.Direction } : View);

    private void Add(SheetEntry[] entries, bool isKept = false)
    {
        foreach (SheetEntry entry in entries)
        {
            _entries.Add(entry);
            _known.Add(entry.Id);
            if (!isKept)
            {
                _store.Add(Job, entry);
            }
        }

        if (!IsBehind && entries.Any(e => e is ReadingEntry or WithdrawalEntry))
        {
            Compute();
        }
        else if (entries.Length > 0)
        {
            // A tick changes no tilt, and the plan may be calculated later.
            Ledger = new(_entries);
        }
    }

    private void Compute()
    {
        Ledger = new(_entries);
        _next.Clear();
        var options = new ShimOptions();
        Plan = ShimPlan.Of(
            Airframe,
            TiltCombination.Of(Airframe, Ledger.ReadingsOf(Airframe)),
            options with
            {
                Inch = View.Inch,
                ToleranceDeg = About.ToleranceDeg is > 0 and < 10 ? About.ToleranceDeg.Value : options.ToleranceDeg,
            }
        );
    }

    private void Change(SheetView view)
    {
        View = view;
        _store.Keep(Job, view);
    }

    /// <summary>The time, never the same twice, so that the entries keep the order of the taps.</summary>
    private DateTimeOffset Now()
    {
        DateTimeOffset now = _now();
        return _last = now > _last ? now : _last.AddMilliseconds(1);
    }
}
