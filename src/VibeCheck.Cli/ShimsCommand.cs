using System.CommandLine;
using System.Text;
using VibeCheck.Core.Airframes;
using VibeCheck.Core.Surveys;
using VibeCheck.Logs.Airframes;
using VibeCheck.Logs.Inputs;
using VibeCheck.Logs.Surveys;
using VibeCheck.Reports.Console;
using VibeCheck.Reports.Files;
using VibeCheck.Reports.Json;
using VibeCheck.Reports.Pages;

namespace VibeCheck.Cli;

/// <summary><c>vibecheck shims SURVEY --airframe F</c>: the shims for each bolt, and their effect.</summary>
internal static class ShimsCommand
{
    internal static Command Build(Terminal terminal)
    {
        var survey = new Argument<string>("SURVEY") { Description = "Gauge readings (survey.csv); --ask makes the file if there is none." };
        var airframe = new Option<string>("--airframe")
        {
            Description = "The aircraft (airframe.toml).",
            HelpName = "FILE",
            Required = true,
        };
        Option<double?> tolerance = NumberOption.Of(
            "--tolerance",
            "Tolerance of a mount's tilt in degrees (default: 0.1, which is common practice, not a published limit).",
            "DEG",
            0.001,
            10,
            "degrees from 0.001 to 10"
        );
        var ask = new Option<bool>("--ask")
        {
            Description = "Type in the survey, motor by motor; each reading is saved at once, and the same command continues later.",
        };
        var asLeft = new Option<bool>("--as-left")
        {
            Description = "With --ask: type the readings after the work (as-left in the survey), not before it.",
        };
        var last = new Option<string?>("--last")
        {
            Description = "An earlier survey of this aircraft: have the mounts moved since its as-left readings?",
            HelpName = "SURVEY",
        };
        var card = new Option<string?>("--card")
        {
            Description = "Write the bench card, one page to print, to FILE.html.",
            HelpName = "FILE.html",
        };
        var paper = Paper();
        var inch = new Option<bool>("--inch") { Description = "Lengths in inches." };
        var budget = new Option<bool>("--budget") { Description = "Print the uncertainty budget of each tilt." };
        Option<string?> json = CommonOptions.Json();
        var command = new Command("shims", "Work out the shims under each bolt from gauge readings, and what the next hover should show.")
        {
            survey,
            airframe,
            tolerance,
            ask,
            asLeft,
            last,
            card,
            paper,
            inch,
            budget,
            json,
        };
        command.SetAction(parsed =>
            Run(
                terminal,
                new Request(
                    parsed.GetValue(survey)!,
                    parsed.GetValue(airframe)!,
                    parsed.GetValue(tolerance) ?? new ShimOptions().ToleranceDeg,
                    parsed.GetValue(ask),
                    parsed.GetValue(asLeft),
                    parsed.GetValue(last),
                    parsed.GetValue(card),
                    parsed.GetValue(paper) == "letter",
                    parsed.GetValue(inch),
                    parsed.GetValue(budget),
                    parsed.GetValue(json)
                )
            )
        );
        return command;
    }

    /// <summary>Paper of a page to print.</summary>
    internal static Option<string> Paper()
    {
        var paper = new Option<string>("--paper")
        {
            Description = "Paper to print on: a4 or letter.",
            HelpName = "PAPER",
            DefaultValueFactory = _ => "a4",
        };
        paper.AcceptOnlyFromAmong("a4", "letter");
        return paper;
    }

    private static int Run(Terminal terminal, Request request)
    {
        CheckOutputs(terminal, request);
        Airframe airframe = AirframeFile.Read(request.AirframePath);
        InputRemarks.Write(terminal, request.AirframePath, airframe.Remarks);
        request = request with { Ask = request.Ask || OffersToAsk(terminal, request.SurveyPath) };
        Survey survey = request.Ask ? Ask(terminal, airframe, request) : ReadSurvey(terminal, request.SurveyPath, airframe);
        ShimPlan plan = ShimPlan.Of(airframe, survey, new ShimOptions { ToleranceDeg = request.ToleranceDeg, Inch = request.Inch });
        IReadOnlyList<MountMovement> since = request.LastPath is string last
            ? MountMovement.Since(ReadSurvey(terminal, last, airframe), survey)
            : [];
        ResultOutput.Write(terminal, request.CardPath, stream => BenchCard.Write(plan, stream, request.Letter, request.Inch));
        ResultOutput.Write(terminal, request.JsonPath, stream => ShimJson.Write(plan, since, stream));
        if (!ResultOutput.IsStandardOutput(request.JsonPath) && !ResultOutput.IsStandardOutput(request.CardPath))
        {
            new ShimSummary(terminal.Output, request.Inch, terminal.Width).Write(plan, since, request.Budget);
        }

        return ExitCode.Done;
    }

    /// <summary>A missing survey can be typed in: at a terminal the program asks, elsewhere it prints how.</summary>
    private static bool OffersToAsk(Terminal terminal, string path)
    {
        if (FilePlace.Of(path).Kind != FilePlaceKind.Nothing || StandardStreams.IsInput(path))
        {
            return false;
        }

        if (terminal.CanAsk)
        {
            terminal.Error.Write($"There is no survey {path}. Type the readings in now, motor by motor? (y/n) ");
            if (terminal.Input.ReadLine()?.Trim().ToLowerInvariant() is "" or "y" or "yes")
            {
                return true;
            }
        }

        throw new InputFaultException(
            new InputFault(
                path,
                null,
                null,
                "there is no such file",
                "Check the name, or add --ask to type the readings in, motor by motor."
            )
        );
    }

    private static void CheckOutputs(Terminal terminal, Request request)
    {
        var outputs = OutputPlan.Of(
            terminal,
            ("--card", request.CardPath),
            ("--json", request.JsonPath),
            ("SURVEY", request.Ask ? request.SurveyPath : null)
        );
        if (request.Ask && (StandardStreams.IsOutput(request.SurveyPath) || !IsFileOrNew(request.SurveyPath)))
        {
            throw new OutputFaultException(
                $"{request.SurveyPath} is not a file that readings can be saved to. Give --ask the path of a survey file."
            );
        }

        outputs.Spare(request.AirframePath, request.LastPath, request.Ask ? null : request.SurveyPath);
        outputs.SpareOtherKinds();
    }

    private static bool IsFileOrNew(string path) => FilePlace.Of(path).Kind is FilePlaceKind.File or FilePlaceKind.Nothing;

    private static Survey Ask(Terminal terminal, Airframe airframe, Request request)
    {
        string path = request.SurveyPath;
        SurveySheet? sheet = File.Exists(path) && new FileInfo(path).Length > 0 ? SurveyFile.ReadSheet(path, airframe) : null;
        InputRemarks.Write(terminal, path, sheet?.Remarks ?? []);
        TextWriter talk = ResultOutput.IsStandardOutput(request.JsonPath) ? terminal.Error : terminal.Output;
        var dialogue = new SurveyDialogue(
            airframe,
            sheet?.Readings ?? [],
            request.AsLeft ? SurveyTime.AsLeft : SurveyTime.AsFound,
            terminal.Input,
            talk,
            reading => Save(path, text => SurveyFile.WithReading(text, reading)),
            () => Save(path, SurveyFile.WithoutLastReading)
        );
        IReadOnlyList<GaugeReading> readings = dialogue.Run(request.SurveyPath);
        talk.WriteLine();
        return TiltCombination.Of(airframe, readings);
    }

    private static Survey ReadSurvey(Terminal terminal, string path, Airframe airframe)
    {
        Survey survey = SurveyFile.Read(path, airframe);
        InputRemarks.Write(terminal, path, survey.Remarks);
        return survey;
    }

    /// <summary>Writes the survey again, whole or not at all, so that a reading typed earlier is never lost.</summary>
    private static void Save(string path, Func<string, string> change)
    {
        try
        {
            string text = change(SurveyFile.TextOf(path));
            WholeFile.Write(path, stream => stream.Write(Encoding.UTF8.GetBytes(text)));
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException or ArgumentException)
        {
            throw new OutputFaultException(
                $"{path}: the reading cannot be saved ({ResultOutput.Cause(e, path)}). Give a path that you may write to.",
                e
            );
        }
    }

    private sealed record Request(
        string SurveyPath,
        string AirframePath,
        double ToleranceDeg,
        bool Ask,
        bool AsLeft,
        string? LastPath,
        string? CardPath,
        bool Letter,
        bool Inch,
        bool Budget,
        string? JsonPath
    );
}
