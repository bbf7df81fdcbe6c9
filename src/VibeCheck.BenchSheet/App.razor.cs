using System.Globalization;
using System.Runtime.Versioning;
using Microsoft.AspNetCore.Components;
using VibeCheck.BenchSheet.Platform;
using VibeCheck.BenchSheet.State;
using VibeCheck.BenchSheet.Text;
using VibeCheck.Core.Surveys;
using VibeCheck.Logs.Airframes;
using VibeCheck.Logs.Inputs;
using VibeCheck.Logs.Sheets;

namespace VibeCheck.BenchSheet;

/// <summary>The whole page: one sheet, its screens, and the connection to the server.</summary>
[SupportedOSPlatform("browser")]
public sealed partial class App : ComponentBase
{
    private const string LocalJob = "local-";

    // The interpreter optimises code that is called often, and compiles loops. This delays some taps of the first rounds by 40 to 70 ms
    // each on a slow phone.
    private const int RehearsalRounds = 4;

    private readonly SheetStore _store;
    private readonly Outbox _outbox;
    private Sheet? _sheet;
    private string _problem = "";
    private bool _looking = true;
    private int _retry;
    private (Screen, string?, SurveyTime, bool) _shown;

    // When another screen or motor opens, its heading is drawn first as the response to the tap, then the rest.
    private bool _isOpening;

    // In the interpreter the first call of any code takes many times as long as later ones, and the browser's first layout of a screen is
    // slow too. So a hidden sheet goes through a survey before the first tap.
    private (Rehearsal Rehearsal, Sheet Sheet)? _rehearsal;
    private bool _tapped;

    /// <summary>The page in a browser.</summary>
    public App()
    {
        _store = new(new BrowserStorage());
        _outbox = new(_store, new BrowserServer());
    }

    private int Unsent => _sheet is null ? 0 : Outbox.Unsent(_store, _sheet.Job, _sheet.Entries).Count;

    private bool IsLocal => _sheet?.Job.StartsWith(LocalJob, StringComparison.Ordinal) == true;

    private string SavedText =>
        SheetText.Saved(
            IsLocal ? Connection.NoServer : _outbox.Connection,
            IsLocal ? 0 : Unsent,
            _sheet is null ? 0 : _store.Refused(_sheet.Job).Count,
            _store.IsWhole
        );

    private bool IsSafelySaved => _store.IsWhole && (IsLocal || (Unsent == 0 && _store.Refused(_sheet!.Job).Count == 0));

    /// <inheritdoc/>
    protected override async Task OnInitializedAsync()
    {
        if (_store.Last is string last)
        {
            (_sheet, _problem) = Opened(last);
        }

        BrowserModule.Listen(Wake, Press);
        await Ask();
        _looking = false;
    }

    /// <inheritdoc/>
    protected override async Task OnAfterRenderAsync(bool firstRender)
    {
        if (firstRender)
        {
            BrowserModule.Ready();
            await Rehearse();
        }
    }

    private async Task Rehearse()
    {
        await Task.Delay(1);
        for (int round = 0; round < RehearsalRounds && (round == 0 || !_tapped); round++)
        {
            var rehearsal = new Rehearsal();
            foreach (Sheet sheet in rehearsal.Steps())
            {
                _rehearsal = (rehearsal, sheet);
                StateHasChanged();
                BrowserModule.TapRehearsal();
                await Task.Delay(1);
            }

            if (_rehearsal is { } last)
            {
                await rehearsal.Send(last.Sheet);
            }
        }

        _rehearsal = null;
        StateHasChanged();
        BrowserModule.Rehearsed();
    }

    private (Sheet?, string) Opened(string job)
    {
        (Sheet? sheet, string? problem) = Sheet.Open(_store, job, () => DateTimeOffset.UtcNow, isStepwise: true);
        return (sheet, problem ?? "");
    }

    /// <summary>Asks the server for its job, adds its entries, and sends the entries that it lacks.</summary>
    private async Task Ask()
    {
        if (await _outbox.Ask() is SheetJob { Job: string job } about)
        {
            TakeUp(job, about);
        }

        await SendOn();
    }

    private void TakeUp(string job, SheetJob about)
    {
        bool isOther = _sheet?.Job != job || _sheet.About.AirframeToml != about.AirframeToml;
        _store.Keep(job, about);
        if (isOther)
        {
            (_sheet, _problem) = Opened(job);
            _problem = about.AirframeToml is null
                ? "The job on the computer has no airframe yet. Make one there, or choose a file here."
                : _problem;
        }

        _sheet?.Join(about);
    }

    /// <summary>Sends waiting entries, and tries again later where no answer came.</summary>
    private async Task SendOn()
    {
        if (_sheet is null || IsLocal)
        {
            StateHasChanged();
            return;
        }

        await _outbox.Send(_sheet);
        StateHasChanged();
        int mine = ++_retry;
        if (_outbox.RetryAfter is TimeSpan wait)
        {
            await Task.Delay(wait);
            if (mine == _retry)
            {
                await SendOn();
            }
        }
    }

    private void Wake()
    {
        _sheet?.Reload();
        _ = InvokeAsync(Ask);
    }

    private void Press(string key)
    {
        if (_sheet is { View: { Screen: Screen.Motor, Fitting: false } } sheet && Apply(sheet, key))
        {
            Refresh();
        }
    }

    private static bool Apply(Sheet sheet, string key)
    {
        switch (key)
        {
            case [>= '0' and <= '9' or '.' or ',' or '/']:
                sheet.Type(key[0]);
                return true;
            case "Backspace":
                sheet.Erase();
                return true;
            case "Ctrl+z":
                sheet.Undo();
                return true;
            case "Enter" when sheet.View.Trial:
                sheet.TapTrial();
                return true;
            case "Escape":
                sheet.Show(Screen.Aircraft);
                return true;
        }

        TiltDirection direction = sheet.View.Direction;
        LowSide? side = (direction, key) switch
        {
            (TiltDirection.Across, "r" or "ArrowRight") => LowSide.Right,
            (TiltDirection.Across, "l" or "ArrowLeft") => LowSide.Left,
            (TiltDirection.Along, "o" or "n" or "ArrowUp") => LowSide.Out,
            (TiltDirection.Along, "i" or "t" or "ArrowDown") => LowSide.In,
            _ => null,
        };
        if (side is LowSide low)
        {
            bool mirrored = sheet.Motor?.Level == Core.Airframes.MotorLevel.Lower && key is "ArrowRight" or "ArrowLeft";
            sheet.Tap(
                !mirrored ? low
                : low == LowSide.Right ? LowSide.Left
                : LowSide.Right
            );
        }

        return side is not null;
    }

    private void Refresh()
    {
        _tapped = true;
        if (_sheet is { View: SheetView view } && (view.Screen, view.Motor, view.When, view.Fitting) != _shown)
        {
            _shown = (view.Screen, view.Motor, view.When, view.Fitting);
            _isOpening = true;
            BrowserModule.ScrollToTop();
        }

        StateHasChanged();
        _ = _isOpening || _sheet is { IsBehind: true } ? DrawTheRest() : SendSoon();
    }

    /// <summary>Calculates and draws after the response to the tap is on the screen, then sends.</summary>
    private async Task DrawTheRest()
    {
        await BrowserModule.Painted();
        _sheet?.CatchUp();
        _isOpening = false;
        StateHasChanged();
        await SendSoon();
    }

    /// <summary>Sends after the response to the tap is on the screen.</summary>
    private async Task SendSoon()
    {
        await Task.Delay(30);
        await SendOn();
    }

    private void Export() => BrowserModule.Save("survey.csv", _sheet!.SurveyText);

    private async Task UseAirframe(string inputId)
    {
        if (await BrowserModule.ChosenText(inputId) is string toml)
        {
            UseToml(toml);
        }
    }

    private async Task UseSample()
    {
        string answer = await BrowserModule.Get("sample-airframe.toml");
        if (answer.StartsWith("200\n", StringComparison.Ordinal))
        {
            UseToml(answer[4..]);
        }
        else
        {
            _problem = "The sample could not be loaded: check the connection.";
        }
    }

    /// <summary>Begins a survey of an aircraft that is described on this phone; it replaces a survey without readings.</summary>
    private void UseToml(string toml)
    {
        string job = LocalJob + Guid.NewGuid().ToString("N", CultureInfo.InvariantCulture)[..8];
        SheetJob about = new()
        {
            Job = job,
            Title = string.Create(CultureInfo.InvariantCulture, $"{DateTimeOffset.Now:yyyy-MM-dd}"),
            AirframeToml = toml,
        };
        try
        {
            AirframeFile.ReadText(toml, "airframe.toml");
        }
        catch (InputFaultException e)
        {
            _problem = e.Message;
            return;
        }

        _store.Keep(job, about);
        (_sheet, _problem) = Opened(job);
    }

    private void StartNew()
    {
        if (_sheet is not null && IsLocal)
        {
            UseToml(_sheet.About.AirframeToml!);
        }
    }

    private void Open(string job)
    {
        (Sheet? sheet, string problem) = Opened(job);
        _sheet = sheet ?? _sheet;
        _problem = problem;
        _ = SendOn();
    }
}
