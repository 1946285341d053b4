using Evenwater.Core.Alarms;
using Evenwater.Core.Keeping;
using Evenwater.Log;
using Evenwater.Page.Charts;
using Evenwater.Tests.Log;
using Evenwater.Tests.Page;
using Evenwater.Tests.Store;

namespace Evenwater.PageTests.History;

/// <summary>Tests that look at the year's log, one after the other.</summary>
[CollectionDefinition(Name)]
public sealed class Year : ICollectionFixture<YearSite>
{
    /// <summary>The collection's name.</summary>
    public const string Name = "Year";
}

/// <summary>A year's log, and the page of two stations over it: with the chart library, and without.</summary>
public sealed class YearSite : IAsyncLifetime
{
    private readonly LogFolder _folder = new();
    private ServedPage? _page;
    private ServedPage? _plain;

    /// <summary>Charts are drawn in the browser.</summary>
    public Uri Address => _page!.Address;

    /// <summary>Charts are drawn by the server alone.</summary>
    public Uri Plain => _plain!.Address;

    public async ValueTask InitializeAsync()
    {
        SummedYear.Write(_folder.Path, LogFolder.Station());
        using (var log = _folder.Open())
        {
            var night = new Night(log);
            night.Add(EntryKind.Note, new NoteBody(new Note { Id = "n1", Kind = NoteKind.WaterChange, At = SummedYear.Step, By = "Kim", Litres = 60 }));
            night.Add(EntryKind.Alarm, new AlarmBody("leak", AlarmStanding.Unacknowledged, Priority.Critical, "The floor by the vessel is wet.", "Closed the valve.", "Go there.") { Calls = true });
            await log.CommitAsync();
        }

        var now = SummedYear.Begin.AddDays(SummedYear.Days);
        _page = await Served(ChartLibrary.Built);
        _plain = await Served(new ChartLibrary(false));

        Task<ServedPage> Served(ChartLibrary library) => ServedPage.StartAsync(
            _folder.Path, library, MadeUp.Night(1) with { Now = now }, MadeUp.Night(1, "sim-lagoon") with { Now = now });
    }

    public async ValueTask DisposeAsync()
    {
        if (_page is not null) await _page.DisposeAsync();
        if (_plain is not null) await _plain.DisposeAsync();
        _folder.Dispose();
    }
}
